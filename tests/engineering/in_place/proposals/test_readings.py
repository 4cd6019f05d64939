"""Very many variants at once against the prediction of each, and against closed forms."""

import math
import random
from dataclasses import replace

import numpy as np
import pytest

from restoration.engineering.in_place import Arrangement, predict
from restoration.engineering.in_place.proposals.readings import PEAK_DRIVE, read_at_least, read_variants
from restoration.engineering.in_place.proposals.steady import Elsewhere, lumped, slowness, variants_of
from restoration.engineering.in_place.proposals.waves import Clock, Fittings, Variants, clock_for, step_traces
from restoration.engineering.limits import Quantity
from restoration.engineering.link_model import LinkLoad
from tests.engineering.in_place.proposals.making import link, some_link

ON_IT = (
    Arrangement(),
    Arrangement(series_ohm=180.0),
    Arrangement(shunt_ohm=560.0),
    Arrangement(shunt_ohm=270.0, shunt_coupling_f=330e-12),
    Arrangement(attenuator_ohm=1200.0, shunt_ohm=1800.0),
    Arrangement(attenuator_ohm=1200.0, attenuator_f=47e-12, shunt_ohm=1800.0),
    Arrangement(series_ohm=150.0, shunt_ohm=820.0),
    Arrangement(source_shunt_ohm=1500.0, series_ohm=100.0),
)
CASES = [replace(some_link(random.Random(number)), arrangement=on_it) for number in range(6) for on_it in ON_IT]


def read(case):
    """All figures of one arrangement, the way very many are read."""
    found = read_variants(variants_of(case, Fittings.of((case.arrangement,))))
    return {name: float(values[0]) for name, values in found.items()}


class TestAgainstPredict:
    """The prediction steps otherwise (ramps and filters) and solves both edges in one record."""

    def settled(self):
        for case in CASES:
            found = slowness(variants_of(case, Fittings.of((case.arrangement,))))
            if 5.0 * float(found.settled_s[0]) <= case.source.duration_s:
                yield read(case), predict(case)

    def test_times_agree_within_two_per_cent(self):
        """But for an edge that pauses at a reference level, which may be read on either side of the pause."""
        off = sorted(
            abs(found[quantity] / predicted.load.get(quantity) - 1.0)
            for found, predicted in self.settled()
            for quantity in (Quantity.RISE_TIME, Quantity.FALL_TIME, Quantity.PULSE_DURATION)
        )
        print(f"{len(off)} times, the worst {100 * off[-1]:.2f} %, the third worst {100 * off[-3]:.2f} %")
        assert sum(one > 0.02 for one in off) <= len(off) // 50

    def test_overshoot_and_undershoot_agree_within_a_hundredth_of_the_amplitude(self):
        worst = 0.0
        for found, predicted in self.settled():
            for quantity in (Quantity.OVERSHOOT, Quantity.UNDERSHOOT):
                worst = max(worst, abs(found[quantity] - predicted.load.get(quantity)))
        print(f"worst excursion {worst:.4f}")
        assert 0.0 < worst <= 0.01

    def test_the_peak_of_the_drive_agrees_within_a_twentieth(self):
        worst = max(abs(found[PEAK_DRIVE] / predicted.peak_drive_a - 1.0) for found, predicted in self.settled())
        print(f"worst peak of the drive {100 * worst:.2f} %")
        assert 0.0 < worst <= 0.05

    def test_enough_of_them_settle(self):
        assert sum(1 for _ in self.settled()) >= 30


class TestClosedForms:
    def test_a_lattice(self):
        """10 V, 25 Ω, 75 Ω wire, 225 Ω: 11.25, 8.4375, 9.140625 after each arrival (lattice arithmetic)."""
        case = link(1.0, 25.0, load=LinkLoad(225.0))
        model = replace(case.model(), line=replace(case.model().line, impedance_ohm=75.0))
        variants = replace(variants_of(case, Fittings.of((Arrangement(),))), model=model)
        lag = 4
        traces = step_traces(variants, Clock(model.line.delay_s / lag, lag, 40)).climbing(0.0)
        assert traces.load[[6, 14, 22], 0] == pytest.approx([1.125, 0.84375, 0.9140625], rel=1e-5)

    def test_a_weak_source_into_a_capacitor(self):
        """Source and wire far slower than the edge: 10 to 90 % in ln 9 RC (circuit theory), within 1 %."""
        case = link(source_ohm=4700.0, edge_s=5e-9, length_m=0.1, load=LinkLoad(capacitance_f=50e-12))
        whole_f = 50e-12 + 0.1 * case.wire.capacitance_f_per_m
        assert read(case)[Quantity.RISE_TIME] == pytest.approx(math.log(9.0) * 4700.0 * whole_f, rel=0.01)

    def test_a_matched_source_copies_its_edge(self):
        case = link(source_ohm=280.0, load=LinkLoad(1e7))
        found = read(case)
        assert found[Quantity.RISE_TIME] == pytest.approx(0.8 * 45e-9, rel=1e-3)
        assert found[Quantity.OVERSHOOT] == pytest.approx(0.0, abs=1e-4)
        assert found[Quantity.DELAY] == pytest.approx(4.6 * 4e-9, abs=20e-9)

    def test_a_level_that_is_not_reached_takes_for_ever(self):
        """A shunt through so much capacitance that the edge is not over while it is looked at."""
        case = link(source_ohm=470.0, arrangement=Arrangement(shunt_ohm=10.0, shunt_coupling_f=1e-6))
        assert read(case)[Quantity.RISE_TIME] == math.inf


class TestNegativePulses:
    def test_rise_is_the_trailing_edge(self):
        up, down = read(link(20.0)), read(link(-20.0))
        assert (down[Quantity.RISE_TIME], down[Quantity.FALL_TIME]) == (up[Quantity.FALL_TIME], up[Quantity.RISE_TIME])


class TestManyAtOnce:
    def test_company_changes_nothing(self):
        """Each variant's figures are the same alone and among 60 others, to the last digit."""
        case = link(33.0, others=1)
        fitted = Fittings.of(ON_IT * 8)
        together = read_variants(variants_of(case, fitted))
        for at, on_it in enumerate(ON_IT):
            alone = read(replace(case, arrangement=on_it))
            assert alone == {name: float(values[at]) for name, values in together.items()}

    def test_the_first_steps_never_say_too_much(self):
        """What they tell at the least is no more than what the whole time tells, and for most of them all of it."""
        exact = total = 0
        for case in CASES:
            variants = variants_of(case, Fittings.of(ON_IT))
            found, first = read_variants(variants), read_at_least(variants)
            assert set(first) == {Quantity.RISE_TIME, Quantity.FALL_TIME, Quantity.OVERSHOOT, PEAK_DRIVE}
            for name, least in first.items():
                assert np.all(least <= found[name])
                exact += int(np.sum(least >= found[name] * (1.0 - 1e-4)))
                total += least.size
        print(f"{exact} of {total} known by the first steps")
        assert exact >= total / 2

    @pytest.mark.parametrize("edge_s", [0.0, 1e-9, 2e-9, 2.5e-9, 31e-9, 45e-9, 1e-6])
    def test_an_edge_is_the_sum_of_its_steps(self, edge_s):
        """Against the same wire stepped with the climbing source itself, in double precision."""
        model = link(33.0, load=LinkLoad(1e5, 34e-12)).model()
        variants = Variants(model, Fittings.of((Arrangement(),)), np.zeros(1), np.zeros(1))
        clock = clock_for(model, 400e-9)
        climbed = step_traces(variants, clock).climbing(edge_s).load[:, 0]
        at_s = clock.step_s * np.arange(clock.steps)
        rises = np.clip(at_s / edge_s, 0.0, 1.0) if edge_s else (at_s > 0.0).astype(float)
        step = step_traces(variants, clock).load[:, 0].astype(np.float64)
        wanted = np.convolve(np.diff(rises, prepend=0.0), step)[: clock.steps]
        assert climbed == pytest.approx(wanted, abs=2e-5)

    def test_a_short_wire_does_not_ask_for_endless_steps(self):
        clock = clock_for(link(edge_s=1e-6, length_m=0.01).model(), 5e-6)
        assert clock.lag == 1
        assert clock.steps <= 510


class TestSeenFromOtherWires:
    def test_what_hangs_there_is_as_the_case_has_it(self):
        for case in CASES:
            fitted = Fittings.of((case.arrangement,))
            here = lumped(case, fitted)
            for other in case.others:
                there = Elsewhere.of(case, other).variants(*here)
                model = case.seen_from(other).model()
                assert there.hung_s[0] == pytest.approx(1.0 / model.source_load_ohm, rel=1e-12)
                assert there.hung_f[0] == pytest.approx(model.source_load_f, rel=1e-12)
        assert any(case.others for case in CASES)

    def test_many_at_once_are_each_as_alone(self):
        case = link(others=2)
        conductance_s, capacitance_f = lumped(case, Fittings.of(ON_IT))
        for at, on_it in enumerate(ON_IT):
            alone = lumped(case, Fittings.of((on_it,)))
            assert np.array([conductance_s[at], capacitance_f[at]]) == pytest.approx(np.array(alone).ravel(), rel=1e-12)
