from django.apps import AppConfig


class CommissioningConfig(AppConfig):
    name = "restoration.commissioning"
