"""From captures and typed figures to readings with limits and verdicts: rows on one side, engineering on the other."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from restoration.engineering.captures import Capture as ReadCapture
from restoration.engineering.captures import Trace
from restoration.engineering.check_result import JudgedFigure, Outcome, check_outcome
from restoration.engineering.limits import Limit, Verdict, figure, judge
from restoration.engineering.limits import Quantity as Measured
from restoration.engineering.pulses import Accuracy, PulseMeasurement, measure, measure_delay
from restoration.machine.figures import UNITS
from restoration.machine.models.limits import LimitRow, Quantity
from restoration.machine.records import Result
from restoration.proving.models import Instrument, SignalReading
from restoration.proving.models.signal_checks import End, Stage
from restoration.proving.quantities import judges, limit_reads, order_of, reads, words

GAIN_ACCURACY = 0.03  # of the reading, where no instrument is named: common practice, no source
TIME_BASE_ACCURACY = 1e-4  # of the reading: common practice for a crystal, no source
TIME_BY_EYE = 0.05  # of the reading, off the graticule: common practice, no source
PART_BY_EYE = 0.03  # of the amplitude: about a fifth of a small division, common practice, no source
RESULTS = {
    Verdict.WITHIN: Result.PASSED,
    Verdict.OUTSIDE: Result.FAILED,
    Verdict.TOO_CLOSE: Result.TOO_CLOSE,
    Verdict.CANNOT_TELL: Result.CANNOT_TELL,
}


@dataclass(frozen=True)
class Reading:
    """One quantity as read: a value or a bound with its uncertainty (95 %), or why it could not be told."""

    quantity: str
    value: float | None = None
    uncertainty: float | None = None
    at_most: float | None = None
    reason: str = ""


@dataclass(frozen=True)
class Setting:
    """What was measured with: accuracy of the instrument, and by how much its figures must still be multiplied."""

    gain_accuracy: float = GAIN_ACCURACY
    probe_scale: float = 1.0

    @classmethod
    def of(cls, instrument: Instrument | None, probe_factor: float, is_multiplied: bool) -> "Setting":
        """Take it from the instrument named, the probe, and whether the instrument allows for the probe already."""
        gain = instrument.gain_accuracy if instrument is not None else GAIN_ACCURACY
        return cls(gain, 1.0 if is_multiplied else probe_factor)


@dataclass(frozen=True)
class TraceTaken:
    """One channel of a capture, in volts at the probe's tip, and what was measured on it."""

    capture: ReadCapture
    trace: Trace
    measurement: PulseMeasurement
    suspicions: tuple[str, ...] = ()


def read_trace(
    capture: ReadCapture, channel: str, setting: Setting, expected_amplitude_v: float | None = None
) -> TraceTaken:
    """Choose a channel, allow for the probe, measure it; a probe left unset is suspected where the limit tells."""
    trace = at_the_tip(channel_of(capture, channel), setting.probe_scale)
    accuracy = Accuracy(gain=setting.gain_accuracy, time=TIME_BASE_ACCURACY)
    plain = measure(trace, accuracy=accuracy)
    if not expected_amplitude_v:
        return TraceTaken(capture, trace, plain)
    measured = measure(trace, expected_amplitude_v=expected_amplitude_v, accuracy=accuracy)
    suspicions = tuple(sentence for sentence in measured.warnings if sentence not in plain.warnings)
    return TraceTaken(capture, trace, measured, suspicions)


def channel_of(capture: ReadCapture, wanted: str) -> Trace:
    """Find a channel by its name or by its number from 1; nothing wanted is the first.

    Raises ValueError with the channels there are.
    """
    wanted = wanted.strip()
    if not wanted:
        return capture.channels[0]
    named = [trace for trace in capture.channels if trace.name.casefold() == wanted.casefold()]
    if named:
        return named[0]
    if wanted.isdecimal() and 1 <= int(wanted[:6]) <= len(capture.channels):
        return capture.channels[int(wanted[:6]) - 1]
    names = ", ".join(trace.name for trace in capture.channels[:12])
    count = len(capture.channels)
    raise ValueError(f"There is no channel “{wanted[:60]}” in this capture; it has {count}: {names}. Count from 1.")


def at_the_tip(trace: Trace, scale: float) -> Trace:
    """Give the trace in volts at the probe's tip."""
    if scale == 1.0:
        return trace
    quantum = None if trace.quantum_v is None else trace.quantum_v * scale
    return replace(trace, values=trace.values * scale, quantum_v=quantum)


def readings_of(measurement: PulseMeasurement) -> list[Reading]:
    """List what a measurement tells of every quantity that a signal may have a limit on."""
    found = []
    for quantity in Measured:
        one = figure(measurement, quantity)
        uncertainty = one.expanded_uncertainty if one.value is not None else None
        found.append(Reading(quantity.value, one.value, uncertainty, one.at_most, one.reason))
    return found


def delay_reading(taken: TraceTaken, reference: str) -> Reading:
    """Measure the delay from another channel of the same capture; raises ValueError where there is no such channel."""
    delay = measure_delay(channel_of(taken.capture, reference), taken.trace)
    uncertainty = None if delay.value_s is None else 2 * delay.uncertainty_s
    return Reading(Quantity.DELAY, delay.value_s, uncertainty, reason=delay.reason)


def readings_by_hand(figures: Mapping[str, float], setting: Setting, limits: Iterable[LimitRow] = ()) -> list[Reading]:
    """List figures read by eye, volts brought to the probe's tip, each with its stated uncertainty.

    The doubt of a figure near zero is no part of itself: it is that of the whole trace on the screen, told by the
    other figures typed and by the limits (a time is read on a sweep of half its limit or more).
    """
    largest = {row.quantity: max(abs(value or 0.0) for value in (row.least, row.nominal, row.most)) for row in limits}
    volts = _whole("V", figures, largest, setting.probe_scale)
    seconds = _whole("s", figures, largest, 1.0)
    found = []
    for quantity in order_of(figures):
        value, unit = figures[quantity], UNITS[quantity].symbol
        if unit == "V":
            value *= setting.probe_scale
            share = abs(value) if quantity == Quantity.AMPLITUDE and value else max(abs(value), volts)
            doubt = share * setting.gain_accuracy
        elif unit == "s":
            doubt = TIME_BY_EYE * (max(abs(value), largest.get(quantity, 0.0) / 2) or seconds)
        else:
            doubt = PART_BY_EYE
        found.append(Reading(quantity, value, doubt or None))
    return found


def _whole(unit: str, figures: Mapping[str, float], largest: Mapping[str, float], scale: float) -> float:
    """Find what the screen has to show: the amplitude or the pulse duration, typed or of the limits, or the largest."""
    whole = Quantity.AMPLITUDE if unit == "V" else Quantity.PULSE_DURATION
    if figures.get(whole):
        return abs(figures[whole]) * scale
    if largest.get(whole):
        return largest[whole]
    typed = [abs(value) * scale for name, value in figures.items() if UNITS[name].symbol == unit]
    return max([*typed, *(value for name, value in largest.items() if UNITS[name].symbol == unit)], default=0.0)


def suspicion_by_hand(readings: Iterable[Reading], expected_amplitude_v: float | None) -> str:
    """Say it aloud where an amplitude typed is ten times what is expected, or a tenth."""
    amplitude = next((one.value for one in readings if one.quantity == Quantity.AMPLITUDE and one.value), None)
    if not amplitude or not expected_amplitude_v:
        return ""
    ratio = abs(amplitude) / expected_amplitude_v
    if not (7 <= ratio <= 14 or 7 <= 1 / ratio <= 14):
        return ""
    much = "about ten times as much" if ratio > 1 else "about a tenth"
    typed, expected = reads("amplitude", amplitude), reads("amplitude", expected_amplitude_v)
    return (
        f"The amplitude is {typed} where {expected} is expected, {much}: is the probe allowed for, once and not twice?"
    )


def expected_amplitude(limits: Iterable[LimitRow]) -> float | None:
    """Give the amplitude to expect: the nominal one, else the middle of its limit."""
    row = next((row for row in limits if row.quantity == Quantity.AMPLITUDE), None)
    if row is None:
        return None
    if row.nominal:
        return abs(row.nominal)
    if row.least is None or row.most is None:
        return None
    return abs(row.least + row.most) / 2 or None


@dataclass(frozen=True)
class EndMeasured:
    """One end at one stage: its readings, and the trace they were taken from, if there is one."""

    end: str
    stage: str
    readings: tuple[Reading, ...] = ()
    taken: TraceTaken | None = None
    data: bytes = field(default=b"", repr=False)
    name: str = ""
    probe_scale: float = 1.0


def judged_rows(measured: EndMeasured, limits: Sequence[LimitRow]) -> list[SignalReading]:
    """Make the rows of one end; at the load end each limited quantity has one, measured or not, with its verdict."""
    at_load = measured.end == End.LOAD
    in_force = {row.quantity: row for row in limits} if at_load else {}
    read = {reading.quantity: reading for reading in measured.readings}
    kept = [name for name, reading in read.items() if reading.value is not None or reading.at_most is not None]
    return [
        _judged_row(
            measured, read.get(quantity, Reading(quantity, reason="It was not measured.")), in_force.get(quantity)
        )
        for quantity in order_of([*kept, *in_force])
    ]


def _judged_row(measured: EndMeasured, reading: Reading, limit: LimitRow | None) -> SignalReading:
    row = SignalReading(
        end=measured.end,
        stage=measured.stage,
        quantity=reading.quantity,
        value=reading.value,
        at_most=reading.at_most,
        uncertainty=reading.uncertainty,
        reason=reading.reason[:300],
    )
    if limit is not None:
        row.least, row.nominal, row.most = limit.least, limit.nominal, limit.most
        if judges(limit):
            bounds = Limit(least=limit.least, most=limit.most)
            row.verdict = judge(reading.value, reading.uncertainty or 0.0, bounds, reading.at_most)
    return row


def outcome_of(readings: Iterable[SignalReading], *, loads_joined: bool, loads_missing: str) -> Outcome:
    """Judge a check by its load end as left, or as found where nothing was left."""
    at_load = [row for row in readings if row.end == End.LOAD]
    left = [row for row in at_load if row.stage == Stage.LEFT]
    judged = [
        JudgedFigure(words(row.quantity), reads_with_doubt(row), limit_reads(row), Verdict(row.verdict), row.reason)
        for row in (left or at_load)
        if row.verdict
    ]
    return check_outcome(judged, all_loads_joined=loads_joined, loads_missing=loads_missing)


def reads_with_doubt(row: SignalReading) -> str:
    """Write a figure with its uncertainty: 19.8 ± 0.6 V."""
    return reads(row.quantity, row.value, at_most=row.at_most, doubt=row.uncertainty)
