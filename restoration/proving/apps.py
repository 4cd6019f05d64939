from django.apps import AppConfig


class ProvingConfig(AppConfig):
    name = "restoration.proving"
