"""Addresses of what is done to chassis, of instruments and of concessions."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
