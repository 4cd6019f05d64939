"""From rows to the physical case of a link, with the facts it rests on, the assumptions, and what is missing."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from django.urls import reverse

from restoration.conditioning.known.edges import freed_of_the_link
from restoration.conditioning.known.gathering import Gathered, gather
from restoration.conditioning.known.pulse import Level, bench_load_words, bench_whence, check_whence, pulse_of
from restoration.conditioning.known.told import KnownFact, Missing, Telling
from restoration.conditioning.known.wires import length_of, load_of, others_of, tell_load, wire_of
from restoration.conditioning.outcomes import same_parts
from restoration.conditioning.reckoning import constants_of
from restoration.engineering.in_place import Arrangement, LinkCase, SiteConstants, predict
from restoration.engineering.link_model import LinkLoad
from restoration.engineering.probe import TIMES_TEN
from restoration.machine.models import Interconnect, SignalLimit
from restoration.machine.models.limits import Quantity
from restoration.proving.models import SignalReading
from restoration.proving.quantities import judges, limit_reads, order_of, reads

PROBE = LinkLoad(TIMES_TEN.resistance_ohm, TIMES_TEN.capacitance_f)
PROBE_SAID = "As measured with a ×10 probe of 10 MΩ and 12 pF on the load."
NOTHING_FITTED = "nothing"
TOO_FAR = "The figures of this link lie too far apart in size to be worked out; look at what is known of it."


@dataclass(frozen=True)
class KnownCase:
    """What is known of a link: the case it makes, or what is missing for one; facts and assumptions in words.

    The case has nominal constants; `applied` gives it as the records of the site have it.
    `wire_key` and `drive_key` name its wire and its drive for the constants of the site. `measured` are the figures
    of the newest check, by end and quantity, as left or else as found; `measured_now` says whether they were taken
    with the parts that are on the link now.
    """

    rows: Gathered
    case: LinkCase | None
    facts: tuple[KnownFact, ...]
    assumed: tuple[str, ...]
    missing: tuple[Missing, ...]
    wire_key: str
    drive_key: str

    @property
    def link(self) -> Interconnect:
        """The link itself."""
        return self.rows.link

    @property
    def arrangement(self) -> Arrangement:
        """What the newest note in force says is on the link."""
        return Arrangement.of_dict(self.rows.parts_on(self.link))

    @property
    def constants(self) -> SiteConstants:
        """The wiring constants of the site that hold now."""
        return constants_of(self.rows.fit)

    def applied(self, case: LinkCase) -> LinkCase:
        """A case of this link as the records of the site have its wire and its drive."""
        return _applied(self.rows, case)

    @property
    def measured(self) -> Mapping[tuple[str, str], SignalReading]:
        """The figures of the newest check."""
        return self.rows.read

    @property
    def measured_now(self) -> bool:
        """Whether the newest check saw the parts that are on the link now."""
        check = self.rows.check
        return check is not None and same_parts(
            self.rows.parts_on(self.link, check.done_at), self.rows.parts_on(self.link)
        )

    @property
    def limits(self) -> dict[str, SignalLimit]:
        """The limits of its signal that can judge, in the order in which they are read off a trace."""
        rows = self.rows.limits
        return {quantity: rows[quantity] for quantity in order_of(rows) if judges(rows[quantity])}


def case_of(interconnect: Interconnect) -> KnownCase:
    """Put together all that is known of a link; its number of reads is the same for every link."""
    return known_of(gather(interconnect))


def known_of(rows: Gathered) -> KnownCase:
    """Put together what rows tell; reads nothing."""
    told = Telling()
    case = _case(rows, told)
    _tell_rest(rows, told)
    return KnownCase(
        rows=rows,
        case=case,
        facts=tuple(told.facts),
        assumed=tuple(told.assumed),
        missing=tuple(told.missing),
        wire_key=wire_key_of(rows),
        drive_key=drive_key_of(rows),
    )


def wire_key_of(rows: Gathered) -> str:
    """By what name the constants of the site know this wire: its kind, where that is written down."""
    return rows.link.wire if rows.link.wire in rows.wires else ""


def drive_key_of(rows: Gathered) -> str:
    """By what name the constants of the site know this drive: drawing and terminal, else slot and terminal."""
    written = rows.written.get(rows.link.source_id)
    return f"{written.design.number}:{written.terminal}" if written else str(rows.link.source)


def _applied(rows: Gathered, case: LinkCase) -> LinkCase:
    return constants_of(rows.fit).applied(case, wire_key_of(rows), drive_key_of(rows))


def _case(rows: Gathered, told: Telling) -> LinkCase | None:
    length_m = length_of(rows, told)
    wire = wire_of(rows, rows.link, told, is_this=True)
    load = load_of(rows, rows.link, told)
    tell_load(rows, load, told)
    others = others_of(rows, told)
    known = pulse_of(rows, told)
    if length_m is None or known is None:
        return None
    told.assume(PROBE_SAID)
    written = rows.written.get(rows.link.source_id)
    try:
        case = LinkCase(
            source=known.source,
            length_m=length_m,
            wire=wire,
            load=load,
            others=others,
            arrangement=Arrangement.of_dict(rows.parts_on(rows.link)),
            drive_most_a=written.drive_most_a if written else None,
            probe=PROBE,
            bench_load=known.level.bench_load,
            code=rows.link.code,
        )
        return _as_high_as_known(rows, known.level, case)
    except ArithmeticError:
        told.miss(TOO_FAR)
    except ValueError as cannot:
        told.miss(str(cannot))
    return None


def _as_high_as_known(rows: Gathered, level: Level, case: LinkCase) -> LinkCase:
    """The case with its source as its figures let it be, which takes reckoning the link."""
    fitted = _fitted_then(rows)
    case = freed_of_the_link(case, rows, fitted, lambda one: _applied(rows, one))
    if not level.at_load:
        return case
    return scaled_to_load(case, level.amplitude_v, fitted, lambda one: _applied(rows, one))


def _fitted_then(rows: Gathered) -> Arrangement:
    """The parts with which the level at the load is known: those at the newest check, or none."""
    if rows.check is None:
        return Arrangement()
    return Arrangement.of_dict(rows.parts_on(rows.link, rows.check.done_at))


def scaled_to_load(
    case: LinkCase, amplitude_v: float, fitted: Arrangement, applied: Callable[[LinkCase], LinkCase]
) -> LinkCase:
    """The same case, its source as high as it must be for this amplitude at the load with these parts on the link.

    The model is linear, so that one reckoning gives the ratio. The level no longer rests on a bench load.
    """
    free = replace(case, bench_load=None)
    times = amplitude_v / predict(applied(replace(free, arrangement=fitted))).load.amplitude_v
    source = replace(free.source, rest_v=free.source.rest_v * times, active_v=free.source.active_v * times)
    return replace(free, source=source)


def fitted_then(known: KnownCase) -> Arrangement:
    """The parts that were on the link when it was checked last; none where it was not."""
    return _fitted_then(known.rows)


def _tell_rest(rows: Gathered, told: Telling) -> None:
    """Tell the limits, the bench and place figures, and the parts that are on the link."""
    limits = [row for row in rows.limits.values() if judges(row)]
    said = "; ".join(f"{row.get_quantity_display()} {limit_reads(row)}" for row in limits)
    signal = rows.link.signal
    told.know("Limits at the load", said or "none stated", f"signal {signal.name}" if signal else "no signal is named")
    _tell_bench(rows, told)
    _tell_place(rows, told)
    fitted, note = Arrangement.of_dict(rows.parts_on(rows.link)), rows.note
    whence = f"modification note {note.pk}" if note else "no modification note"
    told.know("Parts on it now", NOTHING_FITTED if fitted.is_bare else fitted.words, whence)


def _tell_bench(rows: Gathered, told: Telling) -> None:
    told_of = [quantity for quantity in order_of(rows.bench) if rows.bench[quantity].value is not None]
    if told_of:
        first = rows.bench[told_of[0]]
        said = "; ".join(f"{Quantity(name).label} {reads(name, rows.bench[name].value)}" for name in told_of)
        told.know("On the bench", f"{said}, with {bench_load_words(first)}", bench_whence(first))


def _tell_place(rows: Gathered, told: Telling) -> None:
    for end, name in (("load", "In place, at the load"), ("source", "In place, at the source")):
        read = {quantity: row for (where, quantity), row in rows.read.items() if where == end}
        if read:
            said = "; ".join(f"{Quantity(each).label} {reads(each, read[each].value)}" for each in order_of(read))
            told.know(name, said, f"{rows.stage} on {check_whence(rows).rpartition(', ')[2]}, {_check_named(rows)}")


def _check_named(rows: Gathered) -> str:
    return f"signal check {rows.check.pk}" if rows.check else ""


def page_of(link: Interconnect) -> str:
    """The address of the page of what happens on a link."""
    return reverse("conditioning:link", args=[link.code])
