"""Wire length, resistance and Q of a winding."""

import math

import numpy as np
import pytest

from restoration.engineering.coils import Layer, quality, winding_ohm, wire_length_m, with_allowance_m
from restoration.engineering.wires import awg_m, ohm_per_metre, skin_factor


def test_worked_coil():
    """100 turns on 25 mm of AWG 26, arithmetic: 7.85398 m, 1.0517 ohm, 40.489 mm bare and close wound."""
    bare_m = awg_m(26)
    layer = Layer(100, 0.025, 100 * bare_m)
    assert layer.length_m * 1e3 == pytest.approx(40.489, abs=1e-3)
    assert wire_length_m(layer) == pytest.approx(7.85398, abs=2e-4)
    assert winding_ohm(7.85398, bare_m) == pytest.approx(1.0517, abs=5e-5)


def test_helix_measured_along_its_line():
    """A steep helix, added up over a hundred thousand points."""
    layer = Layer(5, 0.02, 0.2)
    angle = np.linspace(0.0, 2 * math.pi * layer.turns, 100_001)
    line = np.column_stack((0.01 * np.cos(angle), 0.01 * np.sin(angle), layer.pitch_m * angle / (2 * math.pi)))
    assert wire_length_m(layer) == pytest.approx(np.linalg.norm(np.diff(line, axis=0), axis=1).sum(), rel=1e-6)


def test_warm_winding():
    assert winding_ohm(10.0, 5e-4, 50.0) == pytest.approx(1.1179 * 10.0 * ohm_per_metre(5e-4))


def test_quality():
    """Reactance over resistance; with the skin effect it is that many times less."""
    found = quality(100e-6, 2.0, 0.4e-3, 1e6)
    assert found.steady == pytest.approx(2 * math.pi * 1e6 * 100e-6 / 2.0)
    assert found.steady / found.with_skin == pytest.approx(skin_factor(0.4e-3, 1e6))
    assert found.skin_factor > 1.5


def test_wire_to_cut():
    assert with_allowance_m(10.0, ends_m=0.2, part=0.1) == pytest.approx(11.2)


@pytest.mark.parametrize(
    ("given_", "says"),
    [
        ((0.0, 2.0, 4e-4, 1e6), "An inductance is above zero and finite; 0.0 H was given."),
        ((1e-4, -2.0, 4e-4, 1e6), "The resistance of a winding is above zero and finite; -2.0 ohm was given."),
        ((1e-4, 2.0, 4e-4, math.nan), "A frequency is above zero and finite; nan Hz was given."),
        ((1e-4, 2.0, 0.0, 1e6), "A wire has a diameter above zero; 0.0 m was given."),
    ],
)
def test_no_quality_of_nonsense(given_, says):
    with pytest.raises(ValueError, match=says):
        quality(*given_)


@pytest.mark.parametrize("nonsense", [-1.0, math.nan, math.inf])
def test_no_length_of_nonsense(nonsense):
    with pytest.raises(ValueError, match="length_m must be "):
        with_allowance_m(nonsense)
    with pytest.raises(ValueError, match="length_m must be zero or more and finite; "):
        winding_ohm(nonsense, 1e-3)
