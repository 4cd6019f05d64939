"""Edges that were read at the load of a link in place: freed of what the link itself makes of them."""

import math
from collections.abc import Callable
from dataclasses import replace

from restoration.conditioning.known.gathering import Gathered
from restoration.conditioning.known.pulse import LEAST_OF_EDGE
from restoration.engineering.in_place import Arrangement, LinkCase, predict
from restoration.machine.models.limits import Quantity

EDGES = (Quantity.RISE_TIME, Quantity.FALL_TIME)


def read_at_load(rows: Gathered, quantity: str) -> bool:
    """Whether an edge is known only from the load end: neither the bench nor the source end tells it."""
    on_bench, at_source = rows.bench.get(quantity), rows.read.get(("source", quantity))
    at_load = rows.read.get(("load", quantity))
    told = [row is not None and bool(row.value) for row in (on_bench, at_source, at_load)]
    return told == [False, False, True]


def freed_of_the_link(
    case: LinkCase, rows: Gathered, fitted: Arrangement, applied: Callable[[LinkCase], LinkCase]
) -> LinkCase:
    """The same case, its source quicker by what the link slows, where its edges were read at the load.

    One reckoning with the edges as read tells what the link adds to them; the squares are taken to add, which holds
    for edges of like shape (common practice).
    """
    astray = [quantity for quantity in EDGES if read_at_load(rows, quantity)]
    if not astray:
        return case
    figures = predict(applied(replace(case, arrangement=fitted))).load
    times = {quantity: _shrunk(rows.read["load", quantity].value or 0.0, figures.get(quantity)) for quantity in astray}
    leading, trailing = EDGES if case.source.step_v > 0 else EDGES[::-1]
    source = replace(
        case.source,
        rise_s=case.source.rise_s * times.get(leading, 1.0),
        fall_s=case.source.fall_s * times.get(trailing, 1.0),
    )
    return replace(case, source=source)


def _shrunk(read_s: float, reckoned_s: float | None) -> float:
    """By what an edge is multiplied so that link and source together make what was read."""
    if not reckoned_s or reckoned_s <= read_s:
        return 1.0
    return math.sqrt(max(2.0 - (reckoned_s / read_s) ** 2, LEAST_OF_EDGE**2))
