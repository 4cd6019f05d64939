"""Addresses of what is done to chassis, of instruments and of concessions."""

from django.urls import path

from restoration.proving.views import chassis_checks, concessions, instruments

urlpatterns = [
    path("chassis/<code:serial>/receive/", chassis_checks.receive, name="receive"),
    path("chassis/<code:serial>/cold-check/", chassis_checks.cold_check, name="cold-check"),
    path("chassis/<code:serial>/bench-test/", chassis_checks.bench_test, name="bench-test"),
    path("bench-tests/<int:pk>/", chassis_checks.bench_test_detail, name="bench-test-detail"),
    path("concessions/<str:kind>/<int:pk>/", concessions.concession_add, name="concession-add"),
    path("instruments/", instruments.instrument_list, name="instrument-list"),
    path("instruments/add/", instruments.instrument_add, name="instrument-add"),
    path("instruments/<code:mark>/edit/", instruments.instrument_edit, name="instrument-edit"),
]
