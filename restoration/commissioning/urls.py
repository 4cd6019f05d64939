"""Addresses of today's sheet, readiness, gates and fitting."""

from django.urls import path

from restoration.commissioning import group_views, views
from restoration.commissioning.signing import views as signing
from restoration.commissioning.testing_again import views as again

app_name = "commissioning"
urlpatterns = [
    path("", views.today, name="today"),
    path("readiness/", views.readiness, name="readiness"),
    path("readiness/<code:code>/", views.rack_readiness, name="rack-readiness"),
    path("gates/", signing.gate_list, name="gates"),
    path("gates/sign/<str:kind>/<code:code>/<slug:gate>/", signing.gate_sign, name="gate-sign"),
    path("gates/records/<int:pk>/", signing.gate_record, name="gate-record"),
    path("groups/", group_views.group_list, name="group-list"),
    path("groups/add/", group_views.group_add, name="group-add"),
    path("groups/of/<code:code>/", group_views.group_detail, name="group-detail"),
    path("groups/of/<code:code>/edit/", group_views.group_edit, name="group-edit"),
    path("fit/<code:code>/", views.fit, name="chassis-fit"),
    path("test-again/", again.again, name="again"),
    path("test-again/sheets/new/", again.sheet_new, name="again-sheet-new"),
    path("test-again/sheets/<int:pk>/", again.sheet, name="again-sheet"),
    path("test-again/sheets/<int:pk>/enter/", again.enter, name="again-enter"),
    path("withdraw/<code:code>/", views.withdraw, name="chassis-withdraw"),
]
