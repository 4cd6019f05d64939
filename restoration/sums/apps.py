from django.apps import AppConfig


class SumsConfig(AppConfig):
    name = "restoration.sums"
