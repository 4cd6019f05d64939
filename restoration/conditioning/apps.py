"""Signals in place: what will happen on a wire, what can be fitted, and whether it did what was said."""

from django.apps import AppConfig


class ConditioningConfig(AppConfig):
    name = "restoration.conditioning"

    def ready(self) -> None:
        from restoration.conditioning import panels

        panels.register()
