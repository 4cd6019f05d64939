"""All loads on one source: worked figures, laws, warnings, and ngspice for level, edge and current."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from restoration.engineering.fan_out import Drive, HungLoad, fan_out
from tests.engineering.drawn import up_to
from tests.engineering.simulating import solve_circuit

LOADS = st.lists(
    st.builds(
        HungLoad,
        st.just("grid"),
        st.one_of(st.floats(1e3, 1e7), st.just(math.inf)),
        up_to(1e-9),
        up_to(10),
    ),
    min_size=1,
    max_size=6,
)

DRIVES = st.builds(Drive, st.floats(1, 300), st.floats(1, 1e5), st.just(0.1), up_to(1e-6))


class TestWorkedCase:
    """30 V behind 1 k into two grids of 47 k, 40 pF on 3 m of wire and 64 pF: closed forms."""

    drive = Drive(30.0, 1e3, most_a=0.05)
    loads = (HungLoad("V7", 47e3, 40e-12, wire_m=3.0), HungLoad("V9", 47e3, 64e-12))

    def test_sums(self):
        found = fan_out(self.drive, self.loads)
        assert found.load_ohm == pytest.approx(23.5e3)
        assert found.load_f == pytest.approx(140e-12)
        assert found.level_v == pytest.approx(30 * 23.5 / 24.5)
        assert found.rise_s == found.rc_rise_s == pytest.approx(math.log(9) * 23.5e3 / 24.5 * 140e-12)

    def test_a_step_first_asks_for_all_the_resistance_lets_through(self):
        found = fan_out(self.drive, self.loads)
        assert found.peak_a == pytest.approx(0.03)
        assert found.share == pytest.approx(0.6)
        assert found.steady_a == pytest.approx(30 / 24.5e3)

    def test_the_own_edge_of_the_drive_is_added_by_squares(self):
        found = fan_out(Drive(30.0, 1e3, edge_s=400e-9), self.loads)
        assert found.rise_s == pytest.approx(math.hypot(found.rc_rise_s, 400e-9))
        assert found.share is None

    def test_other_wire(self):
        assert fan_out(self.drive, self.loads, wire_f_per_m=15e-12).load_f == pytest.approx(149e-12)

    def test_a_negative_pulse(self):
        found = fan_out(Drive(-30.0, 1e3, most_a=0.05), self.loads)
        assert found.level_v == pytest.approx(-30 * 23.5 / 24.5)
        assert (found.peak_a, found.share) == pytest.approx((0.03, 0.6))


EDGES_S = (20e-9, 200e-9, 800e-9)


def test_against_ngspice(tmp_path):
    """Two loads behind 1 k for three straight edges in one run: level, edge of the quickest, and the most current.

    Tolerance 0.5 %; the most current is read from the volts on the source's resistance.
    """
    parts, nodes = [], []
    for place, edge_s in enumerate(EDGES_S):
        parts += [
            f"V{place} e{place} 0 PULSE(0 30 100n {edge_s / 0.8} 10n 1 2)",
            f"R{place} e{place} o{place} 1k",
            f"Ra{place} o{place} 0 4.7k",
            f"Ca{place} o{place} 0 60p",
            f"Rb{place} o{place} 0 22k",
            f"Cb{place} o{place} 0 90p",
        ]
        nodes += [f"e{place}", f"o{place}"]
    solved = solve_circuit(parts, nodes, tmp_path, step_s=1e-9, stop_s=4e-6)
    loads = [HungLoad("a", 4.7e3, 60e-12), HungLoad("b", 22e3, 90e-12)]
    for place, edge_s in enumerate(EDGES_S):
        found = fan_out(Drive(30.0, 1e3, edge_s=edge_s), loads)
        top, low = solved[:, 1 + 2 * place], solved[:, 2 + 2 * place]
        assert found.level_v == pytest.approx(low[-1], rel=1e-4)
        assert found.peak_a == pytest.approx((top - low).max() / 1e3, rel=5e-3)
        assert found.steady_a == pytest.approx((top - low)[-1] / 1e3, rel=1e-4)
    early, late = np.interp([0.1, 0.9], solved[:, 2] / solved[-1, 2], solved[:, 0])
    assert fan_out(Drive(30.0, 1e3, edge_s=20e-9), loads).rise_s == pytest.approx(late - early, rel=5e-3)


class TestLaws:
    @given(DRIVES, LOADS)
    def test_one_more_load_never_helps(self, drive, loads):
        before, after = fan_out(drive, loads[:-1] or loads), fan_out(drive, loads)
        assert abs(after.level_v) <= abs(before.level_v) * (1 + 1e-9)
        assert after.load_f >= before.load_f
        assert after.steady_a >= before.steady_a * (1 - 1e-9)

    @given(DRIVES, LOADS)
    def test_the_most_current_lies_between_the_steady_and_a_short(self, drive, loads):
        found = fan_out(drive, loads)
        assert found.steady_a * (1 - 1e-6) <= found.peak_a <= drive.open_v / drive.resistance_ohm * (1 + 1e-6)

    @given(DRIVES, LOADS)
    def test_order_does_not_matter(self, drive, loads):
        assert fan_out(drive, loads).rise_s == pytest.approx(fan_out(drive, loads[::-1]).rise_s)


class TestWarnings:
    def words(self, most_a, edge_s=0.0, resistance_ohm=1e3):
        drive = Drive(30.0, resistance_ohm, most_a, edge_s)
        (warning,) = fan_out(drive, [HungLoad("V7", 29e3, 100e-12)]).warnings
        return warning.replace("\xa0", " ")

    def test_little_is_left(self):
        assert self.words(0.033) == (
            "The loads take 90.9 % of what the drive may give (30.0 mA on the edge and 1.00 mA after it): little is "
            "left for ageing."
        )

    def test_too_much(self):
        assert self.words(0.02) == (
            "The loads ask for 150.0 % of what the drive may give (30.0 mA on the edge and 1.00 mA after it): it "
            "cannot."
        )

    def test_no_bound(self):
        assert self.words(0.02, resistance_ohm=0.0) == (
            "A step from a source without resistance has no bound to its charging current; give an edge."
        )

    def test_a_stiff_source_with_an_edge_has_one(self):
        """C dV/dt and V / R: 100 pF, 30 V in 100 ns / 0.8, 29 k."""
        drive = Drive(30.0, 0.0, 1.0, 100e-9)
        found = fan_out(drive, [HungLoad("V7", 29e3, 100e-12)])
        assert found.peak_a == pytest.approx(100e-12 * 30 / 125e-9 + 30 / 29e3)
        assert found.warnings == ()

    def test_only_resistance(self):
        found = fan_out(Drive(30.0, 1e3, 0.1), [HungLoad("V7", 29e3)])
        assert found.peak_a == found.steady_a == pytest.approx(1e-3)
        assert found.rise_s == 0.0
        assert found.warnings == ()


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        (lambda: Drive(math.nan, 1.0), "open_v must be a finite number; nan was given."),
        (lambda: Drive(0.0, 1.0), "open_v must not be zero: a source without volts drives nothing."),
        (lambda: Drive(1.0, -1.0), "resistance_ohm must be zero or more and finite; -1.0 was given."),
        (lambda: Drive(1.0, 1.0, 0.0), "most_a must be more than zero; 0.0 was given."),
        (lambda: Drive(1.0, 1.0, None, -1e-9), "edge_s must be zero or more and finite; -1e-09 was given."),
        (lambda: HungLoad("a", 0.0), "resistance_ohm must be more than zero; 0.0 was given."),
        (lambda: HungLoad("a", 1.0, math.inf), "capacitance_f must be zero or more and finite; inf was given."),
        (lambda: HungLoad("a", 1.0, 0.0, -3.0), "wire_m must be zero or more and finite; -3.0 was given."),
        (lambda: fan_out(Drive(1.0, 1.0), []), "Nothing hangs on the source; give one load or more."),
        (
            lambda: fan_out(Drive(1.0, 1.0), [HungLoad("a")], wire_f_per_m=-1.0),
            "wire_f_per_m must be zero or more and finite; -1.0 was given.",
        ),
    ],
)
def test_nonsense(asked, sentence):
    with pytest.raises(ValueError) as refused:
        asked()
    assert str(refused.value) == sentence
