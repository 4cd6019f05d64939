"""Addresses of today's sheet, readiness, gates and fitting."""

from django.urls import path

from restoration.commissioning import group_views, rule_views, unlock_views, views
from restoration.commissioning.changing import views as changes
from restoration.commissioning.changing.recording_views import change_form
from restoration.commissioning.signing import views as signing
from restoration.commissioning.testing_again import views as again

app_name = "commissioning"
urlpatterns = [
    path("", views.today, name="today"),
    path("readiness/", views.readiness, name="readiness"),
    path("readiness/<code:code>/", views.rack_readiness, name="rack-readiness"),
    path("what-opens-most/", unlock_views.unlock, name="unlock"),
    path("what-opens-most/<code:code>/", unlock_views.unlock_rack, name="unlock-rack"),
    path("gates/", signing.gate_list, name="gates"),
    path("gates/sign/<str:kind>/<code:code>/<slug:gate>/", signing.gate_sign, name="gate-sign"),
    path("gates/records/<int:pk>/", signing.gate_record, name="gate-record"),
    path("groups/", group_views.group_list, name="group-list"),
    path("groups/add/", group_views.group_add, name="group-add"),
    path("groups/of/<code:code>/", group_views.group_detail, name="group-detail"),
    path("groups/of/<code:code>/edit/", group_views.group_edit, name="group-edit"),
    path("changes/", changes.change_list, name="change-list"),
    path("changes/new/", changes.change_new, name="change-new"),
    path("changes/new/<slug:kind>/", change_form, name="change-form"),
    path("changes/new/<slug:kind>/before/", changes.change_before, name="change-before"),
    path("changes/<int:pk>/", changes.change_detail, name="change-detail"),
    path("changes/<int:pk>/take-back/", changes.change_take_back, name="change-take-back"),
    path("changes/<int:pk>/photo/<str:size>/", changes.change_photo, name="change-photo"),
    path("rules/", rule_views.rule_list, name="rule-list"),
    path("rules/<int:number>/", rule_views.rule_edit, name="rule-edit"),
    path("rules/<int:number>/change/", rule_views.rule_change, name="rule-change"),
    path("fit/<code:code>/", views.fit, name="chassis-fit"),
    path("test-again/", again.again, name="again"),
    path("test-again/sheets/new/", again.sheet_new, name="again-sheet-new"),
    path("test-again/sheets/<int:pk>/", again.sheet, name="again-sheet"),
    path("test-again/sheets/<int:pk>/enter/", again.enter, name="again-enter"),
    path("withdraw/<code:code>/", views.withdraw, name="chassis-withdraw"),
]
