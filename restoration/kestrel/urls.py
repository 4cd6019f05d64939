"""Addresses of the demonstration; outside it they answer 404."""

from django.urls import path

from restoration.kestrel import views

app_name = "kestrel"
urlpatterns = [
    path("", views.cast, name="cast"),
    path("capture/", views.capture, name="capture"),
    path("<int:pk>/", views.play, name="play"),
]
