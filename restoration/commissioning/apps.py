from typing import Any

from django.apps import AppConfig


class CommissioningConfig(AppConfig):
    name = "restoration.commissioning"

    def ready(self) -> None:
        from restoration.commissioning import panels
        from restoration.commissioning.changing import panels as changes
        from restoration.machine.events import facts_changed

        panels.register()
        changes.register()
        facts_changed.connect(_follow, dispatch_uid="commissioning.standing")


def _follow(
    sender: Any,
    chassis: frozenset[int],
    interconnects: frozenset[int],
    racks: frozenset[int],
    groups: frozenset[int],
    **kwargs: Any,
) -> None:
    from restoration.commissioning.services import follow

    follow(chassis=chassis, interconnects=interconnects, racks=racks, groups=groups)
