"""Reads the stored standings for pages: every gate of an item in order, those not done filled in."""

from collections import defaultdict
from collections.abc import Collection

from restoration.commissioning.gates import CHASSIS_GATES, LINK_GATES
from restoration.commissioning.models import Standing as StoredStanding
from restoration.engineering.standing import Standing, State

GATES = {"chassis": CHASSIS_GATES, "interconnect": LINK_GATES}


def standings_of(kind: str, ids: Collection[int]) -> dict[int, tuple[Standing, ...]]:
    """Give, for each of these items ("chassis" or "interconnect"), how each of its gates stands."""
    found: dict[int, dict[str, Standing]] = defaultdict(dict)
    rows = StoredStanding.objects.filter(**{f"{kind}_id__in": ids})
    for pk, gate, state, since, reasons in rows.values_list(f"{kind}_id", "gate", "state", "since", "reasons"):
        found[pk][gate] = Standing(gate, State(state), since, tuple(reasons))
    return {pk: tuple(found[pk].get(gate, not_done(gate)) for gate in GATES[kind]) for pk in ids}


def not_done(gate: str) -> Standing:
    """A gate that nothing was done about."""
    return Standing(gate, State.NOT_DONE)
