"""Addresses of people and their roles; those of signing in stand in sign_in_urls."""

from django.urls import path

from restoration.people import views

app_name = "people"
urlpatterns = [
    path("", views.person_list, name="person-list"),
    path("me/", views.me, name="me"),
    path("roles/", views.roles, name="roles"),
    path("add/", views.person_add, name="person-add"),
    path("invite/", views.invite, name="invite"),
    path("invitation/<str:token>/", views.invitation, name="invitation"),
    path("<int:pk>/", views.person_detail, name="person-detail"),
    path("<int:pk>/role/", views.role_give, name="role-give"),
    path("role/<int:pk>/end/", views.role_end, name="role-end"),
]
