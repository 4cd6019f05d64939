from typing import Any

from django.apps import AppConfig
from django.db import connections
from django.db.migrations.recorder import MigrationRecorder
from django.db.models.signals import post_migrate


class MachineConfig(AppConfig):
    name = "restoration.machine"

    def ready(self) -> None:
        post_migrate.connect(_stamp_again, sender=self)


def _stamp_again(using: str, **kwargs: Any) -> None:
    """Set the triggers of the wiring again where a migration made one of their tables anew and so lost them."""
    from restoration.machine.stamp import install_stamp, stamp_stands

    connection = connections[using]
    are_wanted = ("machine", "0003_stamp") in MigrationRecorder(connection).applied_migrations()
    if are_wanted and not stamp_stands(connection):
        install_stamp(connection)
