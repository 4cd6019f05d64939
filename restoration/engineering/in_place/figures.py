"""What a link will show at both ends: the waveform, its figures, what the source has to give, and what to mind."""

from __future__ import annotations

from dataclasses import dataclass, replace

from restoration.engineering.in_place.case import LinkCase
from restoration.engineering.in_place.reading import PulseFigures, Reading, read_pulse
from restoration.engineering.in_place.solving import solve_pulse
from restoration.engineering.in_place.warnings import warnings_of
from restoration.engineering.link_model import EndVolts
from restoration.engineering.refusals import refuse_unless

POINTS = 900
"""Instants at which the volts are worked out: close together around the edges, few on a flat top."""


@dataclass(frozen=True)
class Predicted:
    """A prediction for one link: figures at load and source end, the waveforms, the greatest current, what to mind.

    The times of `volts` are not evenly spaced where a long flat top was passed over.
    """

    load: PulseFigures
    source: PulseFigures
    volts: EndVolts
    peak_drive_a: float
    warnings: tuple[str, ...] = ()

    def end(self, name: str) -> PulseFigures:
        """The figures of the end called `load` or `source`.

        Formula: none. Source: none. Valid for the two names. Units: none. Errors: ValueError for another name.

        >>> from restoration.engineering.in_place.case import WireConstants
        >>> from restoration.engineering.link_model import LinkLoad, PulseSource
        >>> source = PulseSource(0.0, 20.0, 1e-6, 1e-7, 1e-7, resistance_ohm=400.0)
        >>> case = LinkCase(source, 2.0, WireConstants(12e-12, 0.9e-6), LinkLoad(4700.0, 20e-12))
        >>> round(predict(case).end("load").amplitude_v, 3)
        18.431
        """
        refuse_unless(name in ("load", "source"), f"A link has the ends load and source; {name!r} was given.")
        return self.load if name == "load" else self.source


def predict(case: LinkCase, *, points: int = POINTS) -> Predicted:
    """Figures at the load terminal and at the source terminal for one pulse of the source.

    Formula: the link model solved in time, figures read as in `reading.read_pulse`. A top that stays flat longer
    than the link takes to settle is passed over and its time added again: the link is linear and does not change,
    so that its answer to the trailing edge is the same. Source: as `engineering.link_model`.
    Valid for a linear source and load: a grid driven into current, or a stage beyond its most current, is not
    modelled (`warnings` say where to mind it). The other wires of the source are lumped, which is fair while they
    are short beside the edge (a warning says where they are not). `points` is about how many instants are worked out,
    from 200.
    Units: SI. Errors: ValueError for fewer than 200 points, and for a case of which no pulse comes.

    >>> from restoration.engineering.in_place.case import WireConstants
    >>> from restoration.engineering.link_model import LinkLoad, PulseSource
    >>> source = PulseSource(0.0, 20.0, 1e-6, 1e-7, 1e-7, resistance_ohm=400.0)
    >>> found = predict(LinkCase(source, 2.0, WireConstants(12e-12, 0.9e-6), LinkLoad(4700.0, 20e-12)))
    >>> round(found.load.amplitude_v, 3), round(found.peak_drive_a * 1e3, 1)
    (18.431, 11.4)
    """
    refuse_unless(points >= 200, f"A prediction takes at least 200 points; {points} were asked for.")
    model = case.model()
    solved = solve_pulse(model, points)
    times_s, volts, turns_s = solved.volts.times_s, solved.volts, solved.turns_s
    at_source = read_pulse(times_s, volts.source_v, solved.at_source, turns_s)
    at_load = read_pulse(times_s, volts.load_v, solved.at_load, turns_s + model.line.delay_s)
    source = _figures(at_source, solved.passed_s, 0.0)
    load = _figures(at_load, solved.passed_s, at_load.leading_s - at_source.leading_s)
    words = warnings_of(case, model, (at_source, at_load), solved.drive_a)
    return Predicted(load, source, solved.whole_volts, solved.drive_a, words)


def _figures(reading: Reading, passed_s: float, delay_s: float) -> PulseFigures:
    figures = reading.figures
    return replace(figures, pulse_duration_s=figures.pulse_duration_s + passed_s, delay_s=delay_s)
