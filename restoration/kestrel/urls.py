"""Addresses of this app."""

app_name = "kestrel"
urlpatterns: list = []
