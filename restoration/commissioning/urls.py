"""Addresses of today's sheet, readiness, gates and fitting."""

from django.urls import path

from restoration.commissioning import views

app_name = "commissioning"
urlpatterns = [
    path("", views.today, name="today"),
    path("readiness/", views.readiness, name="readiness"),
    path("readiness/<code:code>/", views.rack_readiness, name="rack-readiness"),
    path("gates/", views.gate_list, name="gates"),
    path("fit/<code:code>/", views.fit, name="chassis-fit"),
    path("withdraw/<code:code>/", views.withdraw, name="chassis-withdraw"),
]
