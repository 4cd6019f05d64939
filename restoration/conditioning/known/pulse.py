"""The pulse of a source: its level behind its resistance, its duration, edges, polarity and period."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.timezone import localtime

from restoration.conditioning.known.gathering import Gathered
from restoration.conditioning.known.told import Telling
from restoration.conditioning.known.wires import whence_of
from restoration.engineering.link_model import STRAIGHT_EDGE, LinkLoad, PulseSource
from restoration.engineering.plots import format_si
from restoration.engineering.rise_time import rc_rise_s
from restoration.machine.models import SignalLimit
from restoration.machine.models.limits import Quantity
from restoration.proving.measuring import expected_amplitude
from restoration.proving.models import BenchReading
from restoration.proving.quantities import reads
from restoration.proving.wording import load_in_words

Q = Quantity

# Where nothing is written down: of the size that such machines had, common practice, no source.
ASSUMED_DRIVE_OHM = 300.0
ASSUMED_DURATION_S = 1e-6
ASSUMED_EDGE_PART = 0.1  # of the pulse duration, 10 to 90 %
EDGES: dict[str, str] = {Q.RISE_TIME: "rise", Q.FALL_TIME: "fall"}
LEAST_OF_EDGE = 0.3  # of a measured edge that is ascribed to the source, where its own capacitance explains it all


@dataclass(frozen=True)
class Level:
    """How high the pulse is: volts, what they were read with, and whether they are of the bench or of the load."""

    amplitude_v: float
    bench_load: LinkLoad | None = None
    at_load: bool = False


@dataclass(frozen=True)
class PulseKnown:
    """The source, how its level is known, and the bench load where it is from the bench."""

    source: PulseSource
    level: Level


def pulse_of(rows: Gathered, told: Telling) -> PulseKnown | None:
    """Put the source together; None where nothing says how high the pulse is."""
    drive_ohm = _drive(rows, told)
    level = _level(rows, told)
    if level is None:
        return None
    duration_s = _duration(rows, told)
    sign = _sign(rows, told)
    leading, trailing = (Q.RISE_TIME, Q.FALL_TIME) if sign > 0 else (Q.FALL_TIME, Q.RISE_TIME)
    measured = [_edge(rows, quantity, drive_ohm, told) for quantity in (leading, trailing)]
    edges = _filled_in(measured, (leading, trailing), duration_s, told)
    most_s = 0.9 * duration_s  # two straight edges fit into a pulse if half of each does
    first_s, last_s = (min(edge_s / STRAIGHT_EDGE, most_s) for edge_s in edges)
    open_v = _open_circuit_v(level, drive_ohm)
    source = PulseSource(
        rest_v=0.0,
        active_v=sign * open_v,
        duration_s=duration_s,
        rise_s=first_s,
        fall_s=last_s,
        resistance_ohm=drive_ohm,
        period_s=_period(rows, duration_s + (first_s + last_s) / 2, told),
    )
    return PulseKnown(source, level)


def _open_circuit_v(level: Level, drive_ohm: float) -> float:
    if level.bench_load is None:
        return level.amplitude_v
    return level.amplitude_v * (1.0 + drive_ohm * level.bench_load.conductance_s)


def _drive(rows: Gathered, told: Telling) -> float:
    written = rows.written.get(rows.link.source_id)
    if written is None or written.drive_ohm is None:
        source = rows.link.source
        told.assume(
            f"No drive is written down for terminal {source.code} of slot {source.slot.code}, so "
            f"{format_si(ASSUMED_DRIVE_OHM, 'Ω')} is assumed."
        )
        return ASSUMED_DRIVE_OHM
    most = f", at most {format_si(written.drive_most_a, 'A')}" if written.drive_most_a else ""
    told.know("Drive", f"{format_si(written.drive_ohm, 'Ω')}{most}", whence_of(written))
    return written.drive_ohm


def _level(rows: Gathered, told: Telling) -> Level | None:
    on_bench = rows.bench.get(Q.AMPLITUDE)
    if on_bench is not None and on_bench.value:
        load = bench_load_of(on_bench)
        told.know(
            "Level", f"{reads(Q.AMPLITUDE, on_bench.value)} with {bench_load_words(on_bench)}", bench_whence(on_bench)
        )
        return Level(abs(on_bench.value), bench_load=load)
    in_place = rows.read.get(("load", Q.AMPLITUDE))
    if in_place is not None and in_place.value:
        told.know("Level", f"{reads(Q.AMPLITUDE, in_place.value)} at the load", check_whence(rows))
        return Level(abs(in_place.value), at_load=True)
    nominal_v = expected_amplitude(rows.limits.values())
    if nominal_v:
        told.assume(
            f"There is no bench figure and no signal check, so the level of the signal as drawn, "
            f"{reads(Q.AMPLITUDE, nominal_v)}, is taken as what reaches the load with nothing fitted."
        )
        return Level(nominal_v, at_load=True)
    told.miss(
        "Nothing says how high the pulse is: no bench figure of the chassis that drives it, no signal check, and no "
        "nominal amplitude of the signal."
    )
    return None


def _duration(rows: Gathered, told: Telling) -> float:
    found = _figure(rows, Q.PULSE_DURATION, told, "Pulse duration")
    if found:
        return found
    middle = _middle(rows.limits.get(Q.PULSE_DURATION))
    if middle:
        told.know("Pulse duration", reads(Q.PULSE_DURATION, middle), "limits of the signal")
        return middle
    told.assume(f"Nothing says how long the pulse lasts, so {reads(Q.PULSE_DURATION, ASSUMED_DURATION_S)} is assumed.")
    return ASSUMED_DURATION_S


def _figure(rows: Gathered, quantity: str, told: Telling, name: str) -> float | None:
    """A figure from the bench, else from the newest check at the source end, else at the load end."""
    on_bench = rows.bench.get(quantity)
    if on_bench is not None and on_bench.value and on_bench.value > 0:
        told.know(name, reads(quantity, on_bench.value), bench_whence(on_bench))
        return on_bench.value
    for end in ("source", "load"):
        row = rows.read.get((end, quantity))
        if row is not None and row.value and row.value > 0:
            told.know(name, f"{reads(quantity, row.value)} at the {end}", check_whence(rows))
            return row.value
    return None


def _middle(row: SignalLimit | None) -> float | None:
    if row is None:
        return None
    ends = [value for value in (row.least, row.most) if value is not None]
    return row.nominal or (sum(ends) / len(ends) if ends else None)


def _edge(rows: Gathered, quantity: str, drive_ohm: float, told: Telling) -> float | None:
    """An edge of the source itself, 10 to 90 %: what is measured, less what its resistance and the load make of it.

    The squares of the two are taken to add, which holds for edges of like shape (common practice).
    """
    measured_s = _figure(rows, quantity, told, f"{EDGES[quantity].capitalize()}, 10–90 %")
    if measured_s is None:
        return None
    on_bench = rows.bench.get(quantity)
    load = bench_load_of(on_bench) if on_bench is not None else LinkLoad()
    slowed_s = rc_rise_s(drive_ohm / (1.0 + drive_ohm * load.conductance_s), load.capacitance_f)
    least_s = LEAST_OF_EDGE * measured_s
    return max(math.sqrt(max(measured_s**2 - slowed_s**2, 0.0)), least_s)


def _filled_in(
    measured: Sequence[float | None], quantities: Sequence[str], duration_s: float, told: Telling
) -> list[float]:
    """Both edges: where one is not known, like the other; where neither is, a tenth of the pulse."""
    known = next((edge_s for edge_s in measured if edge_s is not None), None)
    edges = []
    for edge_s, quantity in zip(measured, quantities, strict=True):
        if edge_s is None:
            edge_s = known if known is not None else ASSUMED_EDGE_PART * duration_s
            reading = reads(quantity, edge_s)
            taken = f"that of the other edge, {reading}," if known is not None else reading
            told.assume(f"No {EDGES[quantity]} time is written down, so {taken} is assumed.")
        edges.append(edge_s)
    return edges


def _sign(rows: Gathered, told: Telling) -> float:
    said = str(rows.measurement.get("polarity") or "none")
    if said != "none":
        told.know("Polarity", said.replace(" pulse", ""), check_whence(rows))
        return -1.0 if said.startswith("negative") or said.endswith("down") else 1.0
    limit, read = rows.limits.get(Q.LOW_LEVEL), rows.read.get(("load", Q.LOW_LEVEL))
    lows = (rows.bench.get(Q.LOW_LEVEL), read)
    low_v = next((row.value for row in lows if row is not None and row.value is not None), None)
    low_v = low_v if low_v is not None else _middle(limit)
    if low_v is None:
        told.assume("Nothing says which way the pulse goes, so a positive one from 0 V is reckoned with.")
        return 1.0
    told.know("Polarity", "negative" if _is_below_rest(rows, low_v) else "positive", "its low level")
    return -1.0 if _is_below_rest(rows, low_v) else 1.0


def _is_below_rest(rows: Gathered, low_v: float) -> bool:
    """Whether a low level is that of a pulse that goes down from 0 V: further from 0 V than a third of its height."""
    heights = (rows.bench.get(Q.AMPLITUDE), rows.read.get(("load", Q.AMPLITUDE)))
    height_v = next((abs(row.value) for row in heights if row is not None and row.value), 0.0)
    return low_v < -height_v / 3


def _period(rows: Gathered, lasts_s: float, told: Telling) -> float | None:
    period_s = rows.measurement.get("period_s")
    if not isinstance(period_s, float) or period_s <= lasts_s:
        return None
    told.know("Period", format_si(period_s, "s"), check_whence(rows))
    return period_s


def bench_load_of(row: BenchReading) -> LinkLoad:
    """The load that a bench figure was read with; none written is none there."""
    return LinkLoad(row.load_resistance_ohm or math.inf, row.load_capacitance_f or 0.0)


def bench_load_words(row: BenchReading) -> str:
    """Write that load: 10 kΩ ∥ 47 pF."""
    return load_in_words(row.load_resistance_ohm, row.load_capacitance_f)


def bench_whence(row: BenchReading) -> str:
    """Say where a bench figure stands: bench test 12, 3 Nov 2026."""
    return f"bench test {row.test_id}, {localtime(row.test.done_at):%-d %b %Y}"


def check_whence(rows: Gathered) -> str:
    """Say where a figure in place stands: signal check 44, found, 12 Nov 2026."""
    check = rows.check
    return f"signal check {check.pk}, {rows.stage}, {localtime(check.done_at):%-d %b %Y}" if check else ""
