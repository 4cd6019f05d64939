"""What chassis showed on the bench, read once for many terminals and moments."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from restoration.machine.models import Fitting, Terminal
from restoration.proving.bench_figures import at_terminal
from restoration.proving.models import BenchReading


@dataclass(frozen=True)
class BenchBook:
    """The fittings of some slots and the bench readings of all chassis that were ever in them."""

    fittings: dict[int, list[Fitting]]
    readings: dict[int, list[BenchReading]]

    @classmethod
    def of(cls, terminals: Iterable[Terminal]) -> "BenchBook":
        """Read the book for these terminals: two reads, however many there are."""
        fittings: dict[int, list[Fitting]] = defaultdict(list)
        readings: dict[int, list[BenchReading]] = defaultdict(list)
        slots = {terminal.slot_id for terminal in terminals}
        for fitting in Fitting.objects.filter(slot__in=slots).order_by("fitted_at", "pk"):
            fittings[fitting.slot_id].append(fitting)
        chassis = {fitting.chassis_id for each in fittings.values() for fitting in each}
        rows = BenchReading.objects.filter(test__chassis__in=chassis, test__replaced_by=None, value__isnull=False)
        for row in rows.select_related("test").order_by("test__done_at", "pk"):
            readings[row.test.chassis_id].append(row)
        return cls(fittings, readings)

    def chassis_at(self, terminal: Terminal, moment: datetime) -> int | None:
        """Which chassis was in the slot of a terminal at a moment, by row id."""
        there = (
            fitting.chassis_id
            for fitting in reversed(self.fittings.get(terminal.slot_id, []))
            if fitting.fitted_at <= moment and (fitting.removed_at is None or fitting.removed_at > moment)
        )
        return next(there, None)

    def readings_at(self, terminal: Terminal, moment: datetime) -> dict[str, BenchReading]:
        """The newest readings, by quantity, at a terminal of the chassis that was in its slot at a moment."""
        chassis = self.chassis_at(terminal, moment)
        if chassis is None:
            return {}
        return at_terminal(terminal, [row for row in self.readings.get(chassis, []) if row.test.done_at <= moment])
