"""The rows that tell of a link: read once, in a number of reads that does not grow with its loads or its records."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from typing import Any

from django.utils import timezone

from restoration.conditioning.models import ModificationNote, WiringFit
from restoration.conditioning.outcomes import Parts, figures_of, parts_at, parts_over_time, stage_of
from restoration.machine.ends import figures_of as written_of
from restoration.machine.ends import wire_kind_of
from restoration.machine.models import Interconnect, SignalLimit, TerminalFigures, WireKind
from restoration.proving.bench_figures import bench_readings_at
from restoration.proving.loads import loads_by_the_book
from restoration.proving.models import BenchReading, Capture, SignalCheck, SignalReading
from restoration.proving.models.signal_checks import End


@dataclass(frozen=True)
class Gathered:
    """All rows that a prediction for one link rests on."""

    link: Interconnect
    on_source: tuple[tuple[Interconnect, bool], ...]
    written: Mapping[int, TerminalFigures]
    wires: Mapping[str, WireKind]
    limits: Mapping[str, SignalLimit]
    bench: Mapping[str, BenchReading]
    check: SignalCheck | None
    measurement: Mapping[str, Any]
    parts: Mapping[int, list[tuple[datetime, Parts]]]
    note: ModificationNote | None
    fit: WiringFit | None

    @cached_property
    def read(self) -> Mapping[tuple[str, str], SignalReading]:
        """What the newest check read, as left or else as found, by end and quantity."""
        return figures_of(self.check) if self.check else {}

    @property
    def stage(self) -> str:
        """The stage of those figures."""
        return stage_of(self.check) if self.check else ""

    def parts_on(self, link: Interconnect, moment: datetime | None = None) -> Parts:
        """What the notes in force say is on a link, now or at a moment."""
        return parts_at(self.parts.get(link.pk, []), moment or timezone.now())


def gather(link: Interconnect) -> Gathered:
    """Read all that is known of a link, of its source and of the other loads there."""
    on_source = tuple(loads_by_the_book(link))
    links = [each for each, _ in on_source]
    check = SignalCheck.objects.of(link).in_force().with_people().prefetch_related("readings").last()
    notes = ModificationNote.objects.in_force().of(link).select_related("change__done_by", "prediction")
    return Gathered(
        link=link,
        on_source=on_source,
        written=written_of([link.source, *(each.load for each in links)]),
        wires=wire_kind_of(links),
        limits={row.quantity: row for row in SignalLimit.objects.filter(signal=link.signal_id)},
        bench=bench_readings_at(link.source, timezone.now()),
        check=check,
        measurement=_measurement(check),
        parts=parts_over_time([each.pk for each in links]),
        note=notes.last(),
        fit=WiringFit.objects.last(),
    )


def _measurement(check: SignalCheck | None) -> Mapping[str, Any]:
    """What was measured on the newest capture of the newest check, the load end's where there is one."""
    if check is None:
        return {}
    rows = Capture.objects.filter(check_made=check).order_by("stage", "pk").values_list("end", "measurement")
    told = dict(rows)
    return told.get(End.LOAD) or told.get(End.SOURCE) or {}
