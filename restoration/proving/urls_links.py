"""Addresses of what is done to interconnects."""

from django.urls import path

from restoration.proving.views import wire_checks

urlpatterns = [
    path("links/<code:code>/join/", wire_checks.join, name="join"),
    path("links/<code:code>/lift/", wire_checks.lift, name="lift"),
    path("links/<code:code>/ring-out/", wire_checks.ring, name="ring-out"),
]
