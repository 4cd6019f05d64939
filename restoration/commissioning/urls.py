"""Addresses of this app."""

app_name = "commissioning"
urlpatterns: list = []
