from django.apps import AppConfig


class ProvingConfig(AppConfig):
    name = "restoration.proving"

    def ready(self) -> None:
        from restoration.proving import panels_chassis, panels_links

        panels_chassis.register()
        panels_links.register()
