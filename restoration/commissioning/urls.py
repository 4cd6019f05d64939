"""Addresses of today's sheet, readiness, gates and fitting."""

from django.urls import path

from restoration.commissioning import views
from restoration.commissioning.testing_again import views as again

app_name = "commissioning"
urlpatterns = [
    path("", views.today, name="today"),
    path("readiness/", views.readiness, name="readiness"),
    path("readiness/<code:code>/", views.rack_readiness, name="rack-readiness"),
    path("gates/", views.gate_list, name="gates"),
    path("fit/<code:code>/", views.fit, name="chassis-fit"),
    path("test-again/", again.again, name="again"),
    path("test-again/sheets/new/", again.sheet_new, name="again-sheet-new"),
    path("test-again/sheets/<int:pk>/", again.sheet, name="again-sheet"),
    path("test-again/sheets/<int:pk>/enter/", again.enter, name="again-enter"),
    path("withdraw/<code:code>/", views.withdraw, name="chassis-withdraw"),
]
