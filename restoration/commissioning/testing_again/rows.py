"""The rows of a walk as people read them: what to do, the limits, the last good figures, where its form is."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from django.db.models import Q
from django.urls import reverse
from django.utils.text import slugify

from restoration.commissioning.facts.history import day
from restoration.commissioning.gates import ACTS
from restoration.commissioning.testing_again.items import Items
from restoration.engineering.recheck import DoubtfulGate
from restoration.machine.models import SignalLimit
from restoration.machine.records import Result
from restoration.proving.models import RingOut, SignalCheck, SignalReading
from restoration.proving.models.signal_checks import End, Stage
from restoration.proving.quantities import limit_reads, order_of, reads, words
from restoration.proving.services.wire_checks import SHORT_BELOW_OHM, THROUGH_UP_TO_OHM
from restoration.proving.wording import ohms

RUNG_THROUGH = f"end to end at most {THROUGH_UP_TO_OHM:g} Ω; to the chassis at least {SHORT_BELOW_OHM:g} Ω"


@dataclass(frozen=True)
class AgainRow:
    """One check of the sheet; `number` is its place on the walk, from 1."""

    number: int
    check: DoubtfulGate
    pk: int
    title: str
    act: str
    limits: tuple[str, ...]
    last_good: str
    address: str


def rows_of(checks: Sequence[DoubtfulGate], items: Items) -> list[AgainRow]:
    """Describe each check, in the order given and in a fixed number of queries."""
    pks = {check.key: items.pks[check.kind, check.code] for check in checks}
    links = {pk for (kind, _, _), pk in pks.items() if kind == "interconnect"}
    limits = _limits({items.links[pk]["signal"] for pk in links} - {None})
    good = _last_good(links)
    return [
        AgainRow(
            number,
            check,
            pks[check.key],
            _title(check, items, pks[check.key]),
            ACTS.get(check.gate, check.gate),
            _limits_of(check, items, pks[check.key], limits),
            good.get((pks[check.key], check.gate), "") if check.kind == "interconnect" else "",
            address_of(check),
        )
        for number, check in enumerate(checks, start=1)
    ]


def _title(check: DoubtfulGate, items: Items, pk: int) -> str:
    if check.kind != "interconnect":
        slot = f" in slot {check.place.slot}" if check.kind == "chassis" and check.place.slot else ""
        return f"{check.kind} {check.code}{slot}"
    link = items.links[pk]
    source = f"{link['source__slot__code']}:{link['source__code']}"
    load = f"{link['load__slot__code']}:{link['load__code']}"
    signal = f"{link['signal__name']}, " if link["signal__name"] else ""
    return f"link {check.code}: {signal}{source} → {load}"


def _limits(signals: Collection[int]) -> dict[int, tuple[str, ...]]:
    by_signal: dict[int, dict[str, str]] = defaultdict(dict)
    for row in SignalLimit.objects.filter(signal__in=signals):
        by_signal[row.signal_id][row.quantity] = f"{words(row.quantity)} {limit_reads(row)}"
    return {pk: tuple(rows[name] for name in order_of(rows)) for pk, rows in by_signal.items()}


def _limits_of(check: DoubtfulGate, items: Items, pk: int, limits: dict[int, tuple[str, ...]]) -> tuple[str, ...]:
    if check.kind != "interconnect":
        return ()
    if check.gate == "rung out":
        return (RUNG_THROUGH,)
    return limits.get(items.links[pk]["signal"], ()) if check.gate == "signal-checked" else ()


def _last_good(links: Collection[int]) -> dict[tuple[int, str], str]:
    """Say what the newest passed record of each link read, in three queries."""
    passed = Q(result=Result.PASSED, replaced_by=None, interconnect__in=links)
    said: dict[tuple[int, str], str] = {}
    rung = RingOut.objects.filter(passed).order_by("done_at", "pk")
    for link, through, chassis, at in rung.values_list(
        "interconnect_id", "resistance_ohm", "to_chassis_ohm", "done_at"
    ):
        said[link, "rung out"] = f"{ohms(through)} end to end, {ohms(chassis)} to the chassis, {day(at)}"
    checks = SignalCheck.objects.filter(passed).order_by("done_at", "pk")
    newest = {link: (pk, at) for link, pk, at in checks.values_list("interconnect_id", "pk", "done_at")}
    read = _read_at_load([pk for pk, _ in newest.values()])
    for link, (pk, at) in newest.items():
        figures = ", ".join(f"{words(name)} {reads(name, read[pk][name])}" for name in order_of(read[pk]))
        said[link, "signal-checked"] = f"{figures or 'no figures kept'}, {day(at)}"
    return said


def _read_at_load(checks: Iterable[int]) -> dict[int, dict[str, float]]:
    """The figures of each check at the load end, as left where something was changed, else as found."""
    rows = SignalReading.objects.filter(check_made__in=list(checks), end=End.LOAD, value__isnull=False)
    read: dict[int, dict[str, float]] = defaultdict(dict)
    for stage in (Stage.FOUND, Stage.LEFT):
        for pk, name, value in rows.filter(stage=stage).values_list("check_made_id", "quantity", "value"):
            read[pk][name] = value or 0.0
    return read


PAGES = {
    ("interconnect", "joined"): "proving:join",
    ("interconnect", "rung out"): "proving:ring-out",
    ("interconnect", "signal-checked"): "proving:signal-check-add",
    ("chassis", "allotted"): "workshop:chassis-allot",
    ("chassis", "built"): "workshop:chassis-work",
    ("chassis", "received"): "proving:receive",
    ("chassis", "cold-checked"): "proving:cold-check",
    ("chassis", "bench-tested"): "proving:bench-test",
}


def address_of(check: DoubtfulGate) -> str:
    """Where the form is that answers a check."""
    if page := PAGES.get((check.kind, check.gate)):
        return reverse(page, args=[check.code])
    if check.gate == "fitted":
        return reverse("commissioning:chassis-fit", args=[check.place.slot])
    return reverse("commissioning:gate-sign", args=[check.kind, check.code, slugify(check.gate)])
