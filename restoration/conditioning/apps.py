from django.apps import AppConfig


class ConditioningConfig(AppConfig):
    name = "restoration.conditioning"
