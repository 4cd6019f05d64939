"""The stored copy of standings, read and written at the pace that a large machine needs."""

import json
from collections.abc import Mapping
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


def as_kept(reasons: tuple[str, ...]) -> str:
    """Reasons as SQLite keeps them; PostgreSQL writes letters beyond ASCII otherwise, and is then taken apart."""
    if len(reasons) == 1:
        return f"[{encode_basestring_ascii(reasons[0])}]"
    return f"[{', '.join(map(encode_basestring_ascii, reasons))}]"


def out_of_step(kind: str, part: Part, right: dict[Key, Standing]) -> dict[Key, Kept]:
    """Find the stored standings of a part of the machine that are not what the records say, by item and gate.

    What agrees is taken out of `right`; what is left there is to be written, over a row found here or as a new one.
    """
    rows = part.of(StoredStanding.objects.exclude(**{kind: None}), kind, kind)
    columns = rows.values_list(f"{kind}_id", "gate", "pk", "state", stored_moment("since"), as_text("reasons"))
    wrong: dict[Key, Kept] = {}
    for item, gate, pk, state, since, reasons in columns.order_by().iterator(chunk_size=2000):
        standing = right.get((item, gate))
        if standing is not None and _agrees(standing, state, since, reasons):
            del right[item, gate]
        else:
            wrong[item, gate] = Kept(pk, state, moment_kept(since), reasons)
    return wrong


def _agrees(standing: Standing, state: str, since: Any, reasons: str) -> bool:
    said = standing.reasons
    return (
        state == standing.state
        and moment_kept(since) == standing.since
        and (reasons == as_kept(said) or tuple(json.loads(reasons)) == said)
    )


def write_standings(kind: str, standings: Mapping[Key, Standing], kept: Mapping[Key, Kept]) -> None:
    """Write these standings: over the row that is kept of one, or as a new row."""
    now = connection.ops.adapt_datetimefield_value(timezone.now())
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


def _prepared(standing: Standing, now: Any) -> tuple[Any, ...]:
    since = connection.ops.adapt_datetimefield_value(standing.since)
    return standing.state.value, since, connection.ops.adapt_json_value(list(standing.reasons), None), now


def _execute(sql: str, rows: list[tuple[Any, ...]]) -> None:
    if rows:
        with connection.cursor() as cursor:
            cursor.executemany(sql, rows)
