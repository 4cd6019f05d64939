from django.apps import AppConfig


class SumsConfig(AppConfig):
    name = "restoration.sums"

    def ready(self) -> None:
        from restoration.sums import panels

        panels.register()
