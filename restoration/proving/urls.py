"""Addresses of this app: checks of chassis, and checks of interconnects."""

from restoration.proving.urls_chassis import urlpatterns as chassis_addresses
from restoration.proving.urls_links import urlpatterns as link_addresses

app_name = "proving"
urlpatterns = [*chassis_addresses, *link_addresses]
