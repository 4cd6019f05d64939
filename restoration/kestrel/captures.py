"""Turns a signal check of the story into what the pair would have brought home: capture files."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from zlib import crc32

import numpy as np

from restoration.engineering.link_model import EndVolts, Samples, link_volts
from restoration.engineering.oscilloscope import Oscilloscope, digitise
from restoration.kestrel.link_physics import figures_of, link_model
from restoration.kestrel.scope_files import write_scope_csv
from restoration.kestrel.story_records import Figures, LinkState, SignalCheckStory

SAMPLES = 4000
BEFORE_THE_PULSE = 0.15
DIVISIONS = 8
NOISE_IN_CODES = 0.5
COARSE_SAMPLES = 400
COARSE_TIMES = 100
CHANNEL = {"source": "CH1", "load": "CH2"}


@dataclass(frozen=True)
class CaptureFile:
    """One file as it came off the oscilloscope; `stage` is found or left, `end` source or load."""

    end: str
    stage: str
    name: str
    content: bytes
    channel: str


def states_of(check: SignalCheckStory) -> Iterator[tuple[str, LinkState]]:
    """The states a check saw: found, and left where something was changed."""
    yield "found", check.found
    if check.left is not None:
        yield "left", check.left


def figures_by_hand(check: SignalCheckStory) -> dict[tuple[str, str], Figures]:
    """What the pair wrote down, by end and stage."""
    return {(end, stage): figures_of(state, end) for stage, state in states_of(check) for end in check.ends}


def capture_files(check: SignalCheckStory) -> tuple[CaptureFile, ...]:
    """The captures of a check, one for each end and stage; none where figures were given by hand."""
    if not check.captured:
        return ()
    return tuple(
        CaptureFile(
            end=end,
            stage=stage,
            name=f"link{check.interconnect}_{stage}_{end}.csv",
            content=_content(check, state, end, stage),
            channel=CHANNEL[end],
        )
        for stage, state in states_of(check)
        for end in check.ends
    )


def _content(check: SignalCheckStory, state: LinkState, end: str, stage: str) -> bytes:
    trouble = check.capture_trouble
    start_s, interval_s, samples = _timebase(state, coarse=trouble == "coarse")
    volts = _trace(state, end, start_s + interval_s * np.arange(samples, dtype=np.float64))
    generator = np.random.default_rng(crc32(f"{check.interconnect} {check.at} {end} {stage}".encode()))
    scope = _scope(state, volts, start_s, interval_s, clipped=trouble == "clipped")
    seen = digitise(scope, volts, generator)
    if trouble == "probe unset":
        seen = seen / check.probe_factor
    return write_scope_csv(check.capture_shape, start_s, interval_s, {CHANNEL[end]: seen})


def _timebase(state: LinkState, *, coarse: bool) -> tuple[float, float, int]:
    """Two pulses where they come soon enough, else one; the interval a round number of nanoseconds."""
    wanted_s = state.period_s * 1.6 if state.period_s < 6 * state.duration_s else state.duration_s * 2.2
    interval_s = _round_up(wanted_s / SAMPLES)
    samples = SAMPLES
    if coarse:
        interval_s, samples = interval_s * COARSE_TIMES, COARSE_SAMPLES
    return -BEFORE_THE_PULSE * wanted_s, interval_s, samples


def _round_up(value: float) -> float:
    """The next of 1, 2, 5 times a power of ten."""
    decade = 10.0 ** math.floor(math.log10(value))
    return next(step * decade for step in (1, 2, 5, 10) if step * decade >= value * 0.999)


def _trace(state: LinkState, end: str, times_s: Samples) -> Samples:
    model = link_model(state, repeats=True, ripple=True)
    volts: EndVolts = link_volts(model, times_s)
    return volts.load_v if end == "load" else volts.source_v


def _scope(state: LinkState, volts: Samples, start_s: float, interval_s: float, *, clipped: bool) -> Oscilloscope:
    """A range that holds the trace with its noise; the clipped one holds two fifths of it."""
    room_v = 8 * state.noise_v + 0.05 * float(np.ptp(volts))
    least_v, most_v = float(volts.min()) - room_v, float(volts.max()) + room_v
    per_division_v = _round_up((most_v - least_v) / DIVISIONS)
    offset_v = per_division_v * math.floor(least_v / per_division_v)
    divisions = math.ceil(DIVISIONS * 0.4) if clipped else DIVISIONS + 2
    own_noise_v = NOISE_IN_CODES * per_division_v * (DIVISIONS + 2) / 2**8
    return Oscilloscope(
        sample_interval_s=interval_s,
        samples=len(volts),
        least_v=offset_v,
        most_v=offset_v + per_division_v * divisions,
        start_s=start_s,
        noise_rms_v=math.hypot(state.noise_v, own_noise_v),
        clips=clipped,
    )
