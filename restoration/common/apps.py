from django.apps import AppConfig
from django.urls import register_converter

from restoration.common.converters import PaintedCode


class CommonConfig(AppConfig):
    name = "restoration.common"

    def ready(self) -> None:
        register_converter(PaintedCode, "code")
        from restoration.common import system_checks  # noqa: F401  (registers itself)
