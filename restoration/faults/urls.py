"""Addresses of the fault log."""

from django.urls import path

from restoration.faults import views

app_name = "faults"
urlpatterns = [
    path("", views.fault_list, name="fault-list"),
    path("on/<code:code>/", views.fault_add, name="fault-add"),
    path("<int:pk>/", views.fault_detail, name="fault-detail"),
    path("<int:pk>/words/", views.fault_edit, name="fault-edit"),
    path("<int:pk>/tried/", views.attempt_add, name="attempt-add"),
    path("<int:pk>/close/", views.fault_close, name="fault-close"),
    path("<int:pk>/again/", views.fault_reopen, name="fault-reopen"),
]
