"""Addresses of signals in place."""

from django.urls import URLPattern

app_name = "conditioning"
urlpatterns: list[URLPattern] = []
