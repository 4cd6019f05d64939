from django.apps import AppConfig


class FaultsConfig(AppConfig):
    name = "restoration.faults"
