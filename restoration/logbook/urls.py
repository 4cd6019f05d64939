"""Addresses of the log book."""

from django.urls import path

from restoration.logbook import views

app_name = "logbook"
urlpatterns = [
    path("", views.entry_list, name="entry-list"),
    path("<int:number>/", views.entry_detail, name="entry-detail"),
]
