"""Addresses of this app."""

app_name = "logbook"
urlpatterns: list = []
