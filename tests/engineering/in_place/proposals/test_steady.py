"""Levels, watts and time constants of very many variants at once, against the model and by hand."""

import itertools
import random
from dataclasses import replace

import numpy as np
import pytest

from restoration.engineering.dividers import Divider, solve
from restoration.engineering.in_place import Arrangement
from restoration.engineering.in_place.proposals.space import ROLE_ORDER, everything
from restoration.engineering.in_place.proposals.steady import burdens, shares, slowness, variants_of
from restoration.engineering.in_place.proposals.waves import Fittings
from restoration.engineering.link_model import LinkLoad, PulseSource, settled_shares
from tests.engineering.in_place.proposals.making import judge_of, link, some_link, some_offers


def one(case):
    return variants_of(case, Fittings.of((case.arrangement,)))


class TestShares:
    @pytest.mark.parametrize("number", range(12))
    def test_are_those_of_the_link_model(self, number):
        case = some_link(random.Random(number))
        found, model = shares(one(case)), settled_shares(case.model())
        assert found.terminal[0] == pytest.approx(model.source.real, rel=1e-9)
        assert found.load[0] == pytest.approx(model.load.real, rel=1e-9)

    def test_a_divider_by_hand(self):
        """30 V, 1 kΩ, 10 kΩ, 6.8 kΩ, 47 kΩ: 10.5200790 V, 1.77090191 mA (ngspice .op)."""
        case = link(30.0, 1000.0, load=LinkLoad(47e3), arrangement=Arrangement(attenuator_ohm=10e3, shunt_ohm=6800.0))
        found = shares(one(case))
        assert 30.0 * found.load[0] == pytest.approx(10.5200790, abs=1e-7)
        assert 30.0 * found.drive_a[0] == pytest.approx(1.77090191e-3, abs=1e-11)


class TestBurdens:
    def test_watts_at_a_duty_of_a_fifth(self):
        """The same divider: 31.36093572 mW and 16.2753033 mW while it is on (closed form); a fifth of it on average."""
        case = link(30.0, 1000.0, load=LinkLoad(47e3), arrangement=Arrangement(attenuator_ohm=10e3, shunt_ohm=6800.0))
        found = burdens(one(case))
        assert found["attenuator_ohm"].watts[0] == pytest.approx(0.2 * 31.36093572e-3, rel=1e-7)
        assert found["shunt_ohm"].watts[0] == pytest.approx(0.2 * 16.2753033e-3, rel=1e-7)
        assert found["series_ohm"].watts[0] == 0.0

    def test_watts_are_those_of_the_divider_module(self):
        case = link(
            20.0, 100.0, period_s=None, load=LinkLoad(10e3), arrangement=Arrangement(series_ohm=220.0, shunt_ohm=330.0)
        )
        by_module = solve(Divider(20.0, 100.0, 220.0, 330.0, 10e3))
        found = burdens(one(case))
        # and the wire's 66 pF charged and emptied every 4 µs through 100 Ω and 220 Ω
        charging_w = 4.6 * case.wire.capacitance_f_per_m * by_module.load_v**2 / 4e-6 * 220.0 / 320.0
        assert found["series_ohm"].watts[0] == pytest.approx(by_module.series_w + charging_w, rel=1e-9)
        assert found["shunt_ohm"].watts[0] == pytest.approx(by_module.shunt_w, rel=1e-9)

    def test_a_rest_level_counts_while_the_pulse_is_away(self):
        source = PulseSource(-10.0, 20.0, 2e-6, 1e-7, 1e-7, 100.0, period_s=10e-6)
        case = replace(link(arrangement=Arrangement(shunt_ohm=900.0), load=LinkLoad()), source=source)
        expected_w = (0.2 * 20.0**2 + 0.8 * 10.0**2) * 0.9**2 / 900.0
        assert burdens(one(case))["shunt_ohm"].watts[0] == pytest.approx(expected_w, rel=1e-9)

    def test_a_coupled_shunt_takes_the_energy_of_its_edges(self):
        """Stiff source: f C V² (closed form, circuit theory), 100 kHz, 1 nF, 20 V: 40 mW."""
        case = link(20.0, 0.01, load=LinkLoad(), arrangement=Arrangement(shunt_ohm=270.0, shunt_coupling_f=1e-9))
        assert burdens(one(case))["shunt_ohm"].watts[0] == pytest.approx(0.04, rel=1e-3)
        assert burdens(one(case))["shunt_coupling_f"].volts[0] == 20.0

    def test_volts_at_most_are_those_of_a_divider_before_anything_is_charged(self):
        case = link(20.0, 100.0, arrangement=Arrangement(series_ohm=300.0))
        assert burdens(one(case))["series_ohm"].volts[0] == pytest.approx(15.0)


class TestSlowness:
    def test_a_load_through_a_source(self):
        case = link(source_ohm=1000.0, load=LinkLoad(capacitance_f=100e-12))
        wire_f = 4.6 * case.wire.capacitance_f_per_m
        assert slowness(one(case)).edge_s[0] == pytest.approx(1000.0 * (100e-12 + wire_f), rel=1e-9)

    def test_a_capacitor_across_lets_the_edge_by_and_settles_later(self):
        plain = link(load=LinkLoad(capacitance_f=50e-12), arrangement=Arrangement(attenuator_ohm=10e3, shunt_ohm=10e3))
        flat = replace(plain, arrangement=replace(plain.arrangement, attenuator_f=50e-12))
        assert slowness(one(flat)).edge_s[0] < 0.1 * slowness(one(plain)).edge_s[0]
        assert slowness(one(flat)).settled_s[0] > 1.5 * slowness(one(plain)).settled_s[0]

    def test_a_coupled_shunt_settles_with_its_own_time_constant(self):
        case = link(arrangement=Arrangement(shunt_ohm=270.0, shunt_coupling_f=1e-9))
        bare = slowness(one(replace(case, arrangement=Arrangement()))).settled_s[0]
        assert slowness(one(case)).settled_s[0] - bare == pytest.approx((270.0 + 40.0) * 1e-9, rel=1e-2)


class TestWorstCase:
    @pytest.mark.parametrize("number", range(4))
    def test_two_corners_hold_all(self, number):
        """The least and the most of all 2^n corners, tried one by one."""
        luck = random.Random(number)
        judge = judge_of(some_link(luck), {}, some_offers(luck, 5, 3))
        case = judge.case
        for lot in everything(judge.shelf, case.arrangement, case.load):
            for at in range(0, lot.count, 7):
                row = lot.take(np.array([at]))
                low_v, high_v = judge.worst_v(row)
                tried = [self.amplitude_v(judge, row, signs) for signs in itertools.product((-1, 1), repeat=6)]
                assert (low_v[0], high_v[0]) == (pytest.approx(min(tried)), pytest.approx(max(tried)))

    @staticmethod
    def amplitude_v(judge, row, signs):
        values = []
        for role, sign, offer in zip(ROLE_ORDER, signs, row.offers[0], strict=True):
            tolerance = judge.shelf.offers[offer].tolerance if offer >= 0 else 0.05
            values.append(getattr(row.fitted, role) * (1.0 + sign * tolerance))
        return abs(judge.case.source.step_v) * float(shares(judge.variants(Fittings(*values))).load[0])
