"""Addresses of this app."""

app_name = "people"
urlpatterns: list = []
