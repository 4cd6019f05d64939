"""Addresses of this app."""

from django.urls import path

from restoration.workshop import views
from restoration.workshop.coils import views as coils
from restoration.workshop.stores import views as stores

app_name = "workshop"
urlpatterns = [
    path("mine/", views.chassis_mine, name="chassis-mine"),
    path("chassis/<code:serial>/", views.chassis_work, name="chassis-work"),
    path("chassis/<code:serial>/allot/", views.chassis_allot, name="chassis-allot"),
    path("chassis/<code:serial>/step/<str:kind>/", views.step_add, name="step-add"),
    path("chassis/<code:serial>/photograph/", views.photo_add, name="photo-add"),
    path("chassis/<code:serial>/hand-over/", views.hand_over, name="hand-over"),
    path("chassis/<code:serial>/send-back/", views.send_back, name="send-back"),
    path("photographs/<int:pk>/", views.photo_image, name="photo-image"),
    path("photographs/<int:pk>/small/", views.photo_small, name="photo-small"),
    path("stores/", stores.stores_list, name="stores"),
    path("stores/new/", stores.stores_add, name="stores-add"),
    path("stores/bring-in/", stores.stores_bring_in, name="stores-bring-in"),
    path("stores/<int:pk>/", stores.stores_line, name="stores-line"),
    path("stores/<int:pk>/edit/", stores.stores_edit, name="stores-edit"),
    path("stores/<int:pk>/move/", stores.stores_move, name="stores-move"),
    path("coils/", coils.coil_list, name="coils"),
    path("coils/new/", coils.coil_add, name="coil-add"),
    path("coils/of/<code:code>/", coils.coil_card, name="coil"),
    path("coils/of/<code:code>/edit/", coils.coil_edit, name="coil-edit"),
]
