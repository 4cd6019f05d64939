"""The stored copy of standings, read and written at the pace that a large machine needs."""

import json
from collections.abc import Iterable, Mapping
from datetime import datetime
from json.encoder import encode_basestring_ascii
from typing import Any, NamedTuple

from django.db import connection
from django.utils import timezone

from restoration.commissioning.facts.rows import Part, as_text, moment_kept, stored_moment
from restoration.commissioning.models import Standing as StoredStanding
from restoration.engineering.standing import Standing

Key = tuple[int, str]
TOLD = ("state", "since", "reasons", "worked_out_at")


class Kept(NamedTuple):
    """One stored standing; its reasons are taken apart only where they must be."""

    pk: int
    state: str
    since: datetime | None
    reasons_text: str

    @property
    def reasons(self) -> tuple[str, ...]:
        """The reasons as sentences."""
        return tuple(json.loads(self.reasons_text))

    def is_told_by(self, standing: Standing) -> bool:
        """Whether the records say just this."""
        return (
            self.state == standing.state
            and self.since == standing.since
            and (self.reasons_text == as_kept(standing.reasons) or self.reasons == standing.reasons)
        )


def as_kept(reasons: Iterable[str]) -> str:
    """Reasons as SQLite keeps them; PostgreSQL writes letters beyond ASCII otherwise, and is then taken apart."""
    return f"[{', '.join(map(encode_basestring_ascii, reasons))}]"


def kept_of(kind: str, part: Part) -> dict[Key, Kept]:
    """Read the stored standings of a part of the machine, by item and gate."""
    rows = part.of(StoredStanding.objects.exclude(**{kind: None}), kind, kind)
    columns = rows.values_list(f"{kind}_id", "gate", "pk", "state", stored_moment("since"), as_text("reasons"))
    return {
        (item, gate): Kept(pk, state, moment_kept(since), reasons)
        for item, gate, pk, state, since, reasons in columns.order_by().iterator(chunk_size=2000)
    }


def write_standings(kind: str, standings: Mapping[Key, Standing], kept: Mapping[Key, Kept]) -> None:
    """Write these standings: over the row that is kept of one, or as a new row."""
    now = timezone.now()
    new, changed = [], []
    for key, standing in standings.items():
        told = _prepared(standing, now)
        if key in kept:
            changed.append((*told, kept[key].pk))
        else:
            new.append((*key, *told))
    _execute(_update(), changed)
    _execute(_insert(kind), new)


def _update() -> str:
    told = ", ".join(f"{name} = %s" for name in TOLD)
    return f"UPDATE {StoredStanding._meta.db_table} SET {told} WHERE id = %s"  # noqa: S608 - our own names only


def _insert(kind: str) -> str:
    names = (f"{kind}_id", "gate", *TOLD)
    places = ", ".join(["%s"] * len(names))
    table = StoredStanding._meta.db_table
    return f"INSERT INTO {table} ({', '.join(names)}) VALUES ({places})"  # noqa: S608 - our own names only


def _prepared(standing: Standing, now: datetime) -> tuple[Any, ...]:
    values = (standing.state.value, standing.since, list(standing.reasons), now)
    fields = [field for field in StoredStanding._meta.concrete_fields if field.name in TOLD]
    return tuple(field.get_db_prep_save(value, connection) for field, value in zip(fields, values, strict=True))


def _execute(sql: str, rows: list[tuple[Any, ...]]) -> None:
    if rows:
        with connection.cursor() as cursor:
            cursor.executemany(sql, rows)
