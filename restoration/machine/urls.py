"""Addresses of this app."""

app_name = "machine"
urlpatterns: list = []
