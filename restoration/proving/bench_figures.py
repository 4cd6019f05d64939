"""What a chassis showed on the bench at the terminal that drives a wire."""

import re
from collections.abc import Sequence
from datetime import datetime

from restoration.machine.models import Fitting, Terminal
from restoration.machine.models.limits import Quantity
from restoration.proving.models import BenchReading


def bench_readings_at(source: Terminal, moment: datetime) -> dict[str, BenchReading]:
    """The newest bench readings, by quantity, of the chassis that was in the slot of a terminal at a moment; two reads.

    A place on the certificate is this terminal if it names its code; a single place of pulses needs no name.
    """
    fittings = Fitting.objects.standing_at(moment).filter(slot=source.slot_id)
    fitting = fittings.order_by("fitted_at").last()
    if fitting is None:
        return {}
    rows = BenchReading.objects.filter(
        test__chassis=fitting.chassis_id, test__replaced_by=None, test__done_at__lte=moment, value__isnull=False
    )
    return at_terminal(source, list(rows.select_related("test").order_by("test__done_at", "pk")))


def at_terminal(source: Terminal, newest: Sequence[BenchReading]) -> dict[str, BenchReading]:
    """Choose from the bench readings of a chassis, oldest first, those of a terminal: the newest of each quantity."""
    named = re.compile(rf"(?<!\w){re.escape(source.code)}(?!\w)")
    places = {row.place for row in newest if row.quantity != Quantity.DC_LEVEL}
    here = {place for place in places if named.search(place)} or (places if len(places) == 1 else set())
    return {row.quantity: row for row in newest if row.place in here}
