"""The gates of one thing as a page lists them: how each stands, its newest record, and where it is signed for."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.urls import reverse
from django.utils.text import slugify

from restoration.commissioning.gates import TABLES, Gate
from restoration.commissioning.models import GateRecord
from restoration.engineering.standing import Standing
from restoration.people.models import Person
from restoration.people.roles import Permission
from restoration.proving.services.headings import named


@dataclass(frozen=True)
class GateRow:
    """One gate of one thing; `sign_at` is empty where the reader may not sign for it, or nobody does."""

    gate: Gate
    standing: Standing
    record: GateRecord | None = None
    sign_at: str = ""


def gate_rows(person: Person, kind: str, item: Any, standings: Iterable[Standing]) -> list[GateRow]:
    """List the gates of one thing for one reader, in one read of its records."""
    tables = {gate.code: gate for gate in TABLES[kind]}
    newest = {record.gate: record for record in _records(kind, item)}
    may = _may(person, tables.values())
    code = named(item)[1]
    return [
        GateRow(
            tables[standing.gate],
            standing,
            newest.get(standing.gate),
            sign_address(kind, code, standing.gate) if tables[standing.gate] in may else "",
        )
        for standing in standings
    ]


def sign_address(kind: str, code: str, gate: str) -> str:
    """Where a gate of a thing is signed for."""
    return reverse("commissioning:gate-sign", args=[kind, code, slugify(gate)])


def _records(kind: str, item: Any) -> Iterable[GateRecord]:
    if kind == "interconnect":
        return []
    return GateRecord.objects.in_force().filter(**{kind: item}).order_by("done_at", "pk")


def _may(person: Person, gates: Iterable[Gate]) -> set[Gate]:
    signed = [gate for gate in gates if gate.is_signed]
    allowed: dict[Permission, bool] = {
        permission: person.may(permission) for permission in {g.signed_by for g in signed}
    }
    return {gate for gate in signed if allowed[gate.signed_by]}
