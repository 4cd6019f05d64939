"""What is looked at before the site starts."""

from typing import Any

from django.conf import settings
from django.core.checks import CheckMessage, Error, Tags, register
from django.db import connections

from restoration.sqlite_engine import is_sound, version_in_use


@register(Tags.database)
def write_ahead_log_is_sound(app_configs: Any, **kwargs: Any) -> list[CheckMessage]:
    """Refuse write-ahead mode on a SQLite that can corrupt the file in it."""
    return [message for alias in connections for message in _look_at(settings.DATABASES[alias])]


def _look_at(database: dict[str, Any]) -> list[CheckMessage]:
    if database["ENGINE"] != "django.db.backends.sqlite3":
        return []
    start = database.get("OPTIONS", {}).get("init_command", "")
    if "journal_mode=wal" not in start.lower() or is_sound(version_in_use()):
        return []
    version = ".".join(str(part) for part in version_in_use())
    return [
        Error(
            f"SQLite {version} can corrupt a database in write-ahead mode when two connections restart its log.",
            hint="Install the pinned pysqlite3 of requirements.txt, or use SQLite 3.51.3 or newer (3.44.6, 3.50.7).",
            id="common.E001",
        )
    ]
