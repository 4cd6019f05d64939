"""Addresses of the loose sums."""

from django.urls import path

from restoration.sums import views

app_name = "sums"
urlpatterns = [
    path("", views.index, name="index"),
    path("<slug:name>/", views.one_sum, name="sum"),
]
