"""Addresses of this app."""

app_name = "faults"
urlpatterns: list = []
