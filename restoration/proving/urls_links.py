"""Addresses of what is done to interconnects."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
