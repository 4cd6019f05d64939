"""The bound on crosstalk: ngspice never above it over a grid of coupled pairs, and near enough to be of use."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from restoration.engineering.crosstalk import crosstalk_bound, steepest_slope
from tests.engineering.drawn import up_to
from tests.engineering.simulating import solve_circuit

NS, PF = 1e-9, 1e-12
GRID = list(
    itertools.product(
        ["straight", "exponential"],
        [20 * NS, 80 * NS, 300 * NS],
        [3 * PF, 15 * PF, 60 * PF],
        [100.0, 1e3, 10e3],
        [20 * PF, 120 * PF],
    )
)

STEP_V = 30.0


@pytest.fixture(scope="module")
def peaks(tmp_path_factory):
    """The most volts on the disturbed wire of every pair of the grid, all in one run; the pulse stands for 2 µs."""
    parts, nodes, sources = [], [], {}
    for place, (shape, rise_s, mutual_f, victim_ohm, victim_f) in enumerate(GRID):
        name = sources.setdefault((shape, rise_s), f"d{len(sources)}")
        parts += [
            f"Cm{place} {name} v{place} {mutual_f}",
            f"Rv{place} v{place} 0 {victim_ohm}",
            f"Cv{place} v{place} 0 {victim_f}",
        ]
        nodes.append(f"v{place}")
    for (shape, rise_s), name in sources.items():
        parts += disturber(shape, rise_s, name)
    solved = solve_circuit(parts, nodes, tmp_path_factory.mktemp("pairs"), step_s=1 * NS, stop_s=5000 * NS)
    return np.abs(solved[:, 1:]).max(axis=0)


def disturber(shape, rise_s, name):
    """A pulse of 30 V with straight edges, or one through an RC behind a buffer."""
    if shape == "straight":
        return [f"V{name} {name} 0 PULSE(0 {STEP_V} 50n {rise_s / 0.8} {rise_s / 0.8} 2u 1)"]
    ohm = rise_s / math.log(9) / (100 * PF)
    return [
        f"V{name} e{name} 0 PULSE(0 {STEP_V} 50n 0.1n 0.1n 2u 1)",
        f"R{name} e{name} m{name} {ohm}",
        f"C{name} m{name} 0 100p",
        f"E{name} {name} 0 m{name} 0 1",
    ]


def bound(case):
    shape, rise_s, mutual_f, victim_ohm, victim_f = case
    return crosstalk_bound(STEP_V, rise_s, mutual_f, victim_ohm, victim_f, shape=shape).bound_v


def test_a_coupled_pair_is_never_above_the_bound(peaks):
    """108 pairs in ngspice; allowance 0.1 % of the bound for its step control."""
    shares = peaks / np.array([bound(case) for case in GRID])
    assert len(shares) == 108
    assert shares.max() <= 1.001


def test_the_bound_is_near_enough_to_be_of_use(peaks):
    """Where one of the two holds alone the pair comes within a tenth of it; where both meet it may be a third less."""
    shares = peaks / np.array([bound(case) for case in GRID])
    assert np.sort(shares)[-20:].min() > 0.9
    assert np.median(shares) > 0.5


def test_an_edge_not_known_takes_the_steepest(peaks):
    """A straight edge taken for an exponential is bounded too, more widely."""
    for case, peak in zip(GRID, peaks, strict=True):
        assert peak <= crosstalk_bound(STEP_V, *case[1:]).bound_v * 1.001


class TestWorkedCases:
    def test_three_metres_laid_together(self):
        """5 pF/m, 3 m, 30 V in 0.1 µs, 1 kΩ: 4.5 V by the slope."""
        found = crosstalk_bound(30.0, 0.8 * 100 * NS, 15 * PF, 1e3, 36 * PF, shape="straight")
        assert found.bound_v == found.slope_bound_v == pytest.approx(4.5)
        assert found.divider_bound_v == pytest.approx(30 * 15 / 51)
        assert found.share is None

    def test_an_open_wire_goes_by_the_capacitances(self):
        found = crosstalk_bound(30.0, 80 * NS, 15 * PF, math.inf, 36 * PF)
        assert found.slope_bound_v == math.inf
        assert found.bound_v == found.divider_bound_v

    def test_a_step_too(self):
        assert crosstalk_bound(30.0, 0.0, 15 * PF, 1e3, 36 * PF).bound_v == pytest.approx(30 * 15 / 51)

    def test_nothing_coupled(self):
        assert crosstalk_bound(30.0, 80 * NS, 0.0, math.inf, 0.0).bound_v == 0.0
        assert crosstalk_bound(0.0, 80 * NS, 1 * PF, math.inf, 1 * PF).bound_v == 0.0

    def test_against_a_third_of_the_threshold(self):
        assert crosstalk_bound(30.0, 80 * NS, 15 * PF, 1e3, 36 * PF, shape="straight", threshold_v=-9.0).share == (
            pytest.approx(1.5)
        )

    @pytest.mark.parametrize(
        ("shape", "steepest"),
        [
            ("straight", 0.8),
            ("gaussian", (norm.ppf(0.9) - norm.ppf(0.1)) * norm.pdf(0.0)),
            ("exponential", math.log(9)),
        ],
    )
    def test_the_steepest_slope_of_each_shape(self, shape, steepest):
        """Closed forms: straight, the Gaussian's density at its middle (scipy), the exponential at its start."""
        assert steepest_slope(30.0, 100 * NS, shape) == pytest.approx(30 / (100 * NS) * steepest)


@given(st.floats(1, 300), st.floats(1e-9, 1e-6), st.floats(1e-13, 1e-9), st.floats(10, 1e7), up_to(1e-9))
def test_the_closed_form_of_a_straight_edge_is_never_above(step_v, rise_s, mutual_f, victim_ohm, victim_f):
    """R Cm dV/dt (1 - exp(-T / R (Cm + Cv))) at the end of the edge."""
    edge_s = rise_s / 0.8
    constant_s = victim_ohm * (mutual_f + victim_f)
    peak_v = victim_ohm * mutual_f * step_v / edge_s * -math.expm1(-edge_s / constant_s)
    found = crosstalk_bound(step_v, rise_s, mutual_f, victim_ohm, victim_f, shape="straight")
    assert peak_v <= found.bound_v * (1 + 1e-9)
    assert peak_v >= (1 - math.exp(-1)) * found.bound_v * (1 - 1e-9)


@pytest.mark.parametrize(
    ("changed", "sentence"),
    [
        ({"step_v": math.nan}, "step_v must be a finite number; nan was given."),
        ({"rise_s": -1e-9}, "rise_s must be zero or more and finite; -1e-09 was given."),
        ({"rise_s": math.inf}, "rise_s must be zero or more and finite; inf was given."),
        ({"mutual_f": -1e-12}, "mutual_f must be zero or more and finite; -1e-12 was given."),
        ({"victim_ohm": 0.0}, "victim_ohm must be more than zero; 0.0 was given."),
        ({"victim_ohm": math.nan}, "victim_ohm must be more than zero; nan was given."),
        ({"victim_f": math.inf}, "victim_f must be zero or more and finite; inf was given."),
        ({"shape": "square"}, "The shape of an edge is straight, gaussian, exponential; “square” was given."),
        ({"threshold_v": 0.0}, "threshold_v must be more than zero; 0.0 was given."),
        ({"threshold_v": math.inf}, "threshold_v must be a finite number; inf was given."),
    ],
)
def test_nonsense(changed, sentence):
    asked = {"step_v": 30.0, "rise_s": 80e-9, "mutual_f": 15e-12, "victim_ohm": 1e3, "victim_f": 36e-12}
    with pytest.raises(ValueError) as refused:
        crosstalk_bound(**(asked | changed))
    assert str(refused.value) == sentence
