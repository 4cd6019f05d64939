"""Reads how things stand for pages: every gate of an item in order, those not done filled in."""

from collections import defaultdict
from collections.abc import Collection

from restoration.commissioning.derived import derived_gates
from restoration.commissioning.gates import GATES_OF, RECORDED_OF
from restoration.commissioning.models import Standing as StoredStanding
from restoration.engineering.standing import Standing, State


def standings_of(kind: str, ids: Collection[int]) -> dict[int, tuple[Standing, ...]]:
    """Give, for each of these items ("chassis", "interconnect", "rack" or "group"), how each of its gates stands.

    The derived gates are worked out here, in a fixed number of queries.
    """
    recorded, derived = recorded_standings(kind, ids), derived_gates(kind, ids, recorded_standings)
    return {pk: _in_order(GATES_OF[kind], recorded[pk], derived.get(pk, {})) for pk in ids}


def recorded_standings(kind: str, ids: Collection[int]) -> dict[int, tuple[Standing, ...]]:
    """Give, for each of these items, how each gate stands that has records of its own; in one read."""
    found: dict[int, dict[str, Standing]] = defaultdict(dict)
    if ids:
        rows = StoredStanding.objects.filter(**{f"{kind}_id__in": ids})
        for pk, gate, state, since, reasons in rows.values_list(f"{kind}_id", "gate", "state", "since", "reasons"):
            found[pk][gate] = Standing(gate, State(state), since, tuple(reasons))
    return {pk: tuple(found[pk].get(gate, not_done(gate)) for gate in RECORDED_OF[kind]) for pk in ids}


def recorded_states(kind: str, ids: Collection[int]) -> dict[tuple[int, str], str]:
    """Give the word for each gate that has records, by item and gate, without its reasons; in one read."""
    if not ids:
        return {}
    rows = StoredStanding.objects.filter(**{f"{kind}_id__in": ids}).order_by()
    return {(pk, gate): state for pk, gate, state in rows.values_list(f"{kind}_id", "gate", "state")}


def _in_order(
    gates: Collection[str], recorded: tuple[Standing, ...], derived: dict[str, Standing]
) -> tuple[Standing, ...]:
    known = {standing.gate: standing for standing in recorded} | derived
    return tuple(known.get(gate, not_done(gate)) for gate in gates)


def not_done(gate: str) -> Standing:
    """A gate that nothing was done about."""
    return Standing(gate, State.NOT_DONE)
