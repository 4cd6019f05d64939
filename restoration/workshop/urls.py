"""Addresses of this app."""

app_name = "workshop"
urlpatterns: list = []
