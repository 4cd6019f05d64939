from django.apps import AppConfig


class FaultsConfig(AppConfig):
    name = "restoration.faults"

    def ready(self) -> None:
        from restoration.faults import panels

        panels.register()
