"""What was known of many links, each at a moment of its own: read in a number of reads that does not grow with them."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from restoration.conditioning.known.gathering import Gathered
from restoration.conditioning.outcomes import Parts, parts_over_time
from restoration.machine.ends import figures_of as written_of
from restoration.machine.ends import wire_kind_of
from restoration.machine.models import Interconnect, SignalLimit, TerminalFigures, WireKind
from restoration.proving.bench_book import BenchBook
from restoration.proving.models import Joining
from restoration.proving.models.wire_checks import JoiningKind


@dataclass(frozen=True)
class ManyKnown:
    """The rows that tell of many links and of all other wires of their sources."""

    on_source: Mapping[int, list[Interconnect]]
    joinings: Mapping[int, list[tuple[datetime, str]]]
    written: Mapping[int, TerminalFigures]
    wires: Mapping[str, WireKind]
    limits: Mapping[int, Mapping[str, SignalLimit]]
    bench: BenchBook
    parts: Mapping[int, list[tuple[datetime, Parts]]]

    @classmethod
    def of(cls, links: Iterable[Interconnect]) -> "ManyKnown":
        """Read all that is known of these links; nine reads, however many there are."""
        given = list(links)
        on_source = _on_source(given)
        wired = [each for wires in on_source.values() for each in wires]
        terminals = {each.pk: each for link in wired for each in (link.source, link.load)}
        return cls(
            on_source=on_source,
            joinings=_joinings(wired),
            written=written_of(terminals.values()),
            wires=wire_kind_of(wired),
            limits=_limits(given),
            bench=BenchBook.of(link.source for link in given),
            parts=parts_over_time(each.pk for each in wired),
        )

    def rows(self, link: Interconnect, moment: datetime, measurement: Mapping[str, Any] | None = None) -> Gathered:
        """The rows that told of a link at a moment, without any check and any fit; the link itself counts as joined."""
        on_source = self.on_source.get(link.source_id, [link])
        return Gathered(
            link=link,
            on_source=tuple((each, each.pk == link.pk or self._is_joined(each, moment)) for each in on_source),
            written=self.written,
            wires=self.wires,
            limits=self.limits.get(link.signal_id or 0, {}),
            bench=self.bench.readings_at(link.source, moment),
            check=None,
            measurement=measurement or {},
            parts={each.pk: self.parts_until(each, moment) for each in on_source},
            note=None,
            fit=None,
        )

    def parts_until(self, link: Interconnect, moment: datetime) -> list[tuple[datetime, Parts]]:
        """What was put on a link up to a moment, oldest first."""
        return [told for told in self.parts.get(link.pk, []) if told[0] <= moment]

    def _is_joined(self, link: Interconnect, moment: datetime) -> bool:
        told = [kind for at, kind in self.joinings.get(link.pk, []) if at <= moment]
        return bool(told) and told[-1] != JoiningKind.LIFTED


def _on_source(links: Sequence[Interconnect]) -> dict[int, list[Interconnect]]:
    found: dict[int, list[Interconnect]] = defaultdict(list)
    wires = Interconnect.objects.filter(source__in={link.source_id for link in links})
    for link in wires.select_related("source__slot", "load__slot").order_by("code"):
        found[link.source_id].append(link)
    return dict(found)


def _joinings(links: Sequence[Interconnect]) -> dict[int, list[tuple[datetime, str]]]:
    found: dict[int, list[tuple[datetime, str]]] = defaultdict(list)
    rows = Joining.objects.in_force().filter(interconnect__in={link.pk for link in links})
    for link, at, kind in rows.order_by("done_at", "pk").values_list("interconnect_id", "done_at", "kind"):
        found[link].append((at, kind))
    return dict(found)


def _limits(links: Sequence[Interconnect]) -> dict[int, dict[str, SignalLimit]]:
    found: dict[int, dict[str, SignalLimit]] = defaultdict(dict)
    for row in SignalLimit.objects.filter(signal__in={link.signal_id for link in links if link.signal_id}):
        found[row.signal_id][row.quantity] = row
    return dict(found)
