"""Addresses of what is done to interconnects."""

from django.urls import path

from restoration.proving.views import signal_checks, wire_checks

urlpatterns = [
    path("links/<code:code>/join/", wire_checks.join, name="join"),
    path("links/<code:code>/lift/", wire_checks.lift, name="lift"),
    path("links/<code:code>/ring-out/", wire_checks.ring, name="ring-out"),
    path("links/<code:code>/signal-check/", signal_checks.add, name="signal-check-add"),
    path("signal-checks/<int:pk>/", signal_checks.detail, name="signal-check-detail"),
    path("captures/<int:pk>/original/", signal_checks.original, name="capture-original"),
    path("captures/<int:pk>/trace/", signal_checks.trace, name="capture-trace"),
]
