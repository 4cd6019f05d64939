from django.apps import AppConfig


class LogbookConfig(AppConfig):
    name = "restoration.logbook"

    def ready(self) -> None:
        from restoration.logbook import listening, panels

        listening.listen()
        panels.register()
