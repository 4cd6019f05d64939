"""The case of a link: what it refuses, the other wires as lumps, seen from another wire."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from restoration.engineering.in_place import Arrangement, WireConstants
from restoration.engineering.link_model import LinkLoad
from tests.engineering.in_place.cases import LOAD, PULSE, WIRE, a_case, other


@given(st.floats(20.0, 1000.0), st.floats(3e-9, 8e-9))
def test_constants_of_a_line_give_the_line_again(impedance_ohm, delay_s_per_m):
    wire = WireConstants.of_line(impedance_ohm, delay_s_per_m)
    assert wire.impedance_ohm == pytest.approx(impedance_ohm)
    assert wire.delay_s_per_m == pytest.approx(delay_s_per_m)


class TestOtherWiresAsLumps:
    def test_bare_wires_add_their_capacitance_and_conductance(self):
        lumped = a_case(others=(other(), other("K3", 5.0, LinkLoad(10e3, 50e-12)))).others_load
        assert lumped.capacitance_f == pytest.approx(7.0 * 12e-12 + 80e-12)
        assert 1 / lumped.resistance_ohm == pytest.approx(1 / 47e3 + 1 / 10e3)

    def test_a_resistor_in_series_hides_capacitance_from_a_quick_edge(self):
        bare = other().lumped(1e-7, 1e-6).capacitance_f
        hidden = other(arrangement=Arrangement(series_ohm=10e3)).lumped(1e-7, 1e-6).capacitance_f
        slow = other(arrangement=Arrangement(series_ohm=10e3)).lumped(1e-4, 1e-3).capacitance_f
        assert hidden < 0.3 * bare
        # (1 + R/RL)^-2 of what is behind R, from the ladder's first power of s.
        assert slow == pytest.approx(bare / (1 + 10e3 / 47e3) ** 2, rel=1e-3)

    def test_a_divider_on_the_other_wire_is_seen_in_full_at_rest(self):
        fitted = Arrangement(attenuator_ohm=2000.0, shunt_ohm=1000.0, source_shunt_ohm=5000.0)
        ohm = other(arrangement=fitted, load=LinkLoad(1000.0)).lumped(1e-7, 1e-6).resistance_ohm
        assert 1 / ohm == pytest.approx(1 / 2500.0 + 1 / 5000.0)

    def test_a_coupled_shunt_counts_while_the_pulse_is_short_beside_it(self):
        fitted = Arrangement(shunt_ohm=300.0, shunt_coupling_f=100e-9)
        assert other(arrangement=fitted).lumped(1e-7, 1e-6).resistance_ohm == pytest.approx(300.0, rel=0.01)
        assert other(arrangement=fitted).lumped(1e-7, 1e-2).resistance_ohm > 10e3

    def test_no_others_are_no_load(self):
        assert a_case().others_load == LinkLoad(math.inf, 0.0)


def test_every_field_of_the_arrangement_is_in_the_model():
    fitted = Arrangement(220.0, 10e3, 4700.0, 22e-12, 2200.0, 1e-9)
    model = a_case(arrangement=fitted, others=(other(),)).model()
    assert (model.series_ohm, model.source_shunt_ohm, model.attenuator_ohm) == (220.0, 10e3, 4700.0)
    assert (model.attenuator_f, model.shunt_ohm, model.shunt_coupling_f) == (22e-12, 2200.0, 1e-9)
    assert model.source_load_f == pytest.approx(54e-12)


def test_the_probe_lies_beside_the_load():
    load = a_case(probe=LinkLoad(47e3, 12e-12)).model().load
    assert load.resistance_ohm == pytest.approx(23.5e3)
    assert load.capacitance_f == pytest.approx(42e-12)


def test_seen_from_another_wire_and_back():
    case = a_case(others=(other("K2"), other("K3", 5.0)), arrangement=Arrangement(series_ohm=100.0))
    there = case.seen_from(case.others[1])
    assert (there.code, there.length_m, [one.code for one in there.others]) == ("K3", 5.0, ["K2", "K1"])
    assert there.others[1].arrangement == case.arrangement
    assert there.seen_from(there.others[1]) == case
    with pytest.raises(ValueError) as refused:
        case.seen_from(other("K9"))
    assert str(refused.value) == "The wire K9 does not hang on the source of K1."


def test_another_drive_resistance_keeps_what_the_bench_saw():
    bench = LinkLoad(2000.0)
    case = a_case(bench_load=bench).with_drive_factor(1.6)
    seen_v = case.source.active_v / (1 + case.source.resistance_ohm / 2000.0)
    assert case.source.resistance_ohm == pytest.approx(400.0)
    assert seen_v == pytest.approx(20.0 / (1 + 250.0 / 2000.0))
    assert a_case().with_drive_factor(1.6).source.active_v == 20.0


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"length_m": -2.0}, "A wire has a length above zero and finite, in metres; -2.0 was given."),
        ({"length_m": math.nan}, "A wire has a length above zero and finite, in metres; nan was given."),
        ({"length_m": math.inf}, "A wire has a length above zero and finite, in metres; inf was given."),
        (
            {"source": replace(PULSE, active_v=0.0)},
            "The source rests and is active at the same 0.0 V; there is no pulse to predict.",
        ),
        ({"drive_most_a": 0.0}, "drive_most_a must be more than zero; 0.0 was given."),
        ({"drive_most_a": math.inf}, "drive_most_a must be a finite number; inf was given."),
    ],
)
def test_nonsense_gets_a_sentence(change, sentence):
    with pytest.raises(ValueError) as refused:
        a_case(**change)
    assert str(refused.value) == sentence


@pytest.mark.parametrize("given", [(0.0, 1e-6), (math.inf, 1e-6), (1e-11, math.nan), (1e-11, -1e-6)])
def test_wire_constants_are_above_zero_and_finite(given):
    with pytest.raises(ValueError, match=r"_per_m must be .*; .* was given\."):
        WireConstants(*given)


def test_other_wires_have_lengths_too():
    with pytest.raises(ValueError, match="A wire has a length above zero"):
        other(length_m=0.0)
    assert WIRE.impedance_ohm * LOAD.capacitance_f > 0
