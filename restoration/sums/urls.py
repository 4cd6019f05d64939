"""Addresses of the loose sums."""

from django.urls import URLPattern

app_name = "sums"
urlpatterns: list[URLPattern] = []
