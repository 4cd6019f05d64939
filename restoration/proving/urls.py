"""Addresses of this app."""

app_name = "proving"
urlpatterns: list = []
