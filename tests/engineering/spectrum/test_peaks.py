"""The strongest lines of a record."""

import math

import numpy as np
import pytest

from restoration.engineering.captures import Trace
from restoration.engineering.spectrum import strongest


def a_trace(**heights: float) -> Trace:
    times_s = np.arange(5000) * 2e-4
    levels = [height * np.sin(2 * np.pi * float(name[1:]) * times_s + height) for name, height in heights.items()]
    return Trace("HT", 0.0, 2e-4, 250.0 + np.sum(levels, axis=0))


def test_heights_and_frequencies_in_order():
    """Lines between two bins keep their height within 0.5 % (flat-top window), their frequency within half of 1/T."""
    found = strongest(a_trace(f100=0.3, f830=0.1, f333=0.2), 3)
    assert [peak.frequency_hz for peak in found] == pytest.approx([100, 333, 830], abs=0.5)
    assert [peak.peak_v for peak in found] == pytest.approx([0.3, 0.2, 0.1], rel=5e-3)
    between = strongest(a_trace(f100=0.1), 1)[0]
    off_bin = Trace("HT", 0.0, 2e-4, 0.1 * np.sin(2 * np.pi * 100.5 * np.arange(5000) * 2e-4))
    assert strongest(off_bin, 1)[0].peak_v == pytest.approx(between.peak_v, rel=5e-3)


def test_a_steady_level_has_none():
    assert strongest(Trace("HT", 0.0, 1e-3, np.full(100, 250.0))) == ()


@pytest.mark.parametrize(
    ("trace", "count", "sentence"),
    [
        (
            Trace("HT", 0.0, None, np.zeros(100)),
            5,
            "This trace does not say its sample interval, so its frequencies cannot be known.",
        ),
        (Trace("HT", 0.0, 1e-3, np.zeros(15)), 5, "A spectrum needs 16 samples; this trace has 15."),
        (Trace("HT", 0.0, 1e-3, np.zeros(100)), 0, "At least one line is looked for; 0 was given."),
    ],
)
def test_refusals(trace, count, sentence):
    with pytest.raises(ValueError) as refusal:
        strongest(trace, count)
    assert str(refusal.value) == sentence


def test_nothing_that_is_no_number_becomes_a_trace():
    with pytest.raises(ValueError) as refusal:
        Trace("HT", 0.0, 1e-3, np.array([0.0, math.nan, 1.0]))
    assert str(refusal.value) == "Sample 2 is nan, which is not a voltage."
