"""A sum on a stored capture: how much of it is hum, and how much keeps the machine's own rate."""

from typing import TYPE_CHECKING

import numpy as np

from restoration.engineering.captures import Trace
from restoration.engineering.spectrum import MAINS, Cause, Line, Peak, Ripple, strongest, tell_ripple
from restoration.engineering.spectrum.telling import SEEN
from restoration.sums.declared import Answer, Column, Count, Group, Quantity, Result, Sum, Table, Value, shown
from restoration.sums.units import PER_SECOND

if TYPE_CHECKING:
    from restoration.proving.models import Capture

LISTED, STRONGEST = 12, 6
MADE_UP = "No capture was named: this is a made-up record of 0.3 V at twice the mains and 0.1 V at the own rate."
SAYS = {
    Cause.HUM: "It is mostly hum",
    Cause.OWN: "It mostly keeps the machine's own rate",
    Cause.BOTH: "It is hum and the machine's own rate together",
    Cause.NEITHER: "It keeps neither rate",
    Cause.CANNOT_TELL: "This record cannot tell hum from the machine's own rate",
}


def _ripple(*, capture: int | None, own_hz: float | None, mains_hz: float) -> Answer:
    if capture is None:
        trace, own_hz, says = _made_up(own_hz or 2500.0, mains_hz), own_hz or 2500.0, [MADE_UP]
    else:
        trace, own_hz, says = _stored(capture, own_hz)
    found = tell_ripple(trace, own_hz=own_hz, mains_hz=mains_hz)
    says.append(f"Lines nearer than {shown(found.resolution_hz, 'Hz')} cannot be told apart in this record.")
    hum = f"{shown(found.mains_rms_v, 'V')} of hum" if _shows_hum(found) else "hum cannot be told in so short a record"
    return Answer(
        f"{SAYS[found.cause]}: {hum}, {shown(found.own_rms_v, 'V')} at the own rate and "
        f"{shown(found.rest_rms_v, 'V')} of the rest, all rms.",
        _results(found),
        tuple(says),
        (_lines(found.lines), _strongest(strongest(trace, STRONGEST))),
    )


def _shows_hum(found: Ripple) -> bool:
    """Whether any line of the mains stands apart from all others."""
    return any(not line.too_near for line in found.lines if line.family == MAINS)


def _results(found: Ripple) -> tuple[Result, ...]:
    return (
        Result("cause", "Cause", found.cause.value),
        Result("mains_rms_v", "Hum", found.mains_rms_v if _shows_hum(found) else None, "V", "rms, all its harmonics"),
        Result("own_rms_v", "Own rate", found.own_rms_v, "V", "rms; the pulses themselves are in it"),
        Result("unresolved_rms_v", "Cannot be told", found.unresolved_rms_v, "V", "rms"),
        Result("rest_rms_v", "The rest", found.rest_rms_v, "V", "rms"),
        Result("mains_hz", "Mains, as found", found.mains_hz, "Hz"),
        Result("own_hz", "Own rate, as found", found.own_hz, "Hz"),
        Result("duration_s", "Length of the record", found.duration_s, "s"),
    )


def _lines(lines: tuple[Line, ...]) -> Table:
    """The highest lines that stand out of the rest, and after them those that cannot be told."""
    out = [line for line in lines if line.too_near or (line.peak_v or 0.0) > SEEN * (line.uncertainty_v or 0.0)]
    ordered = sorted(out or lines, key=lambda line: (line.peak_v is None, -(line.peak_v or line.at_most_v or 0.0)))[
        :LISTED
    ]
    rows: list[tuple[Value, ...]] = [
        (
            line.words, line.seen_at_hz, line.peak_v, line.uncertainty_v,
            line.at_most_v if line.too_near else line.peak_v, line.too_near or "nothing",
        )
        for line in ordered[:LISTED]
    ]  # fmt: skip
    columns = (
        Column("line", "line"), Column("seen_hz", "seen at", "Hz"), Column("peak_v", "height", "V"),
        Column("uncertainty_v", "give or take", "V"), Column("at_most_v", "at most", "V"),
        Column("too_near", "too near to it"),
    )  # fmt: skip
    return Table("Lines of both rates, the highest first", columns, tuple(rows))


def _strongest(peaks: tuple[Peak, ...]) -> Table:
    columns = (Column("frequency_hz", "at", "Hz"), Column("peak_v", "height", "V"))
    rows = tuple((peak.frequency_hz, peak.peak_v) for peak in peaks) or ((None, None),)
    return Table("The strongest lines of any rate", columns, rows)


def _made_up(own_hz: float, mains_hz: float) -> Trace:
    interval_s = 0.02 / max(own_hz, mains_hz)
    times_s = interval_s * np.arange(min(200_000, round(10 / min(own_hz, mains_hz) / interval_s)))
    values = 0.3 * np.sin(4 * np.pi * mains_hz * times_s) + 0.1 * np.sin(2 * np.pi * own_hz * times_s)
    return Trace("made up", 0.0, interval_s, values + 0.02 * np.random.default_rng(1).standard_normal(times_s.size))


def _stored(number: int, own_hz: float | None) -> tuple[Trace, float, list[str]]:
    """The trace of a stored capture, and its own rate: as said, or else as it was measured."""
    from restoration.proving.captures_store import trace_of
    from restoration.proving.models import Capture

    capture = Capture.objects.filter(pk=number).select_related("check_made__interconnect").first()
    if capture is None:
        raise ValueError(f"capture {number} is not there; a signal check's page leads here with the number.")
    return trace_of(capture), _own_rate(capture, own_hz), [_named(capture)]


def _named(capture: "Capture") -> str:
    link = capture.check_made.interconnect.code
    return f"Capture {capture.pk}, {capture.original_name}, of link {link}, {capture.get_end_display()}."


def _own_rate(capture: "Capture", own_hz: float | None) -> float:
    measured = capture.measurement.get("frequency_hz")
    if own_hz is None and not measured:
        raise ValueError("own_hz has to be said: this capture shows no repetition of its own.")
    return float(own_hz or measured)


RIPPLE = Sum(
    slug="ripple",
    title="Hum and own rate in a capture",
    question="How much of what was captured is hum, and how much does the machine make itself?",
    inputs=(
        Count(
            name="capture", label="Number of the capture", example="", optional=True, most=999_999_999,
            help="The page of a signal check leads here with it. Left empty: a made-up record.",
        ),
        Quantity(
            name="own_hz", label="Repetition rate of the machine", unit=PER_SECOND, example="2.5 kHz", optional=True,
            help="Left empty: as it was measured in the capture.",
        ),
        Quantity(name="mains_hz", label="Mains", unit=PER_SECOND, example="50 Hz"),
    ),
    compute=_ripple,
    formula=(
        "v = a0 + Σ (a cos 2πft + b sin 2πft), fitted to all harmonics of both rates at once",
        "height = √(a² + b²)",
        "told apart where 1 / length ≤ the distance of two lines",
    ),
    source="Linear least squares and the resolution of a record of the length T, common practice.",
    assumptions=(
        "Both rates are steady over the record; the mains lie within 1 % of what is said, the own rate within 0.1 %.",
        "Ten harmonics of the mains and twenty of the own rate are looked at.",
    ),
    limits=(
        "A line above half the sampling rate is seen folded down.",
        "A rest that keeps a third rate makes the uncertainties too small.",
    ),
    leads_to_ht=True,
)  # fmt: skip

GROUP = Group(7, "A capture is at hand", (RIPPLE,))
