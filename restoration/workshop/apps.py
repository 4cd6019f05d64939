from django.apps import AppConfig


class WorkshopConfig(AppConfig):
    name = "restoration.workshop"

    def ready(self) -> None:
        from restoration.workshop import panels

        panels.register()
