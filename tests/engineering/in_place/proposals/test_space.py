"""Which arrangements come into question, against a plain enumeration and the rules told one by one."""

import itertools
import math

import numpy as np
import pytest

from restoration.engineering.in_place import BARE, Arrangement
from restoration.engineering.in_place.proposals.space import Shelf, everything
from restoration.engineering.link_model import LinkLoad
from tests.engineering.in_place.proposals.making import LIMITS, capacitor, judge_of, link, resistor

OHMS = (100.0, 330.0, 1000.0)
FARADS = (15e-12, 33e-12, 470e-12)
OFFERS = tuple(resistor(ohm) for ohm in OHMS) + tuple(capacitor(farads) for farads in FARADS)
LOAD = LinkLoad(1e6, 33e-12)


def arrangements(offers, now=BARE, load=LOAD):
    """All arrangements there are, as often as they come."""
    found = everything(Shelf.of(offers), now, load)
    return [lot.fitted.arrangement(at) for lot in found for at in range(lot.count)]


def allowed(case, offers, limits=LIMITS, derating=0.5):
    """Those that may be proposed."""
    judge = judge_of(case, limits, offers, derating)
    lots = list(everything(judge.shelf, case.arrangement, case.load))
    return {lot.fitted.arrangement(int(at)) for lot in lots for at in np.flatnonzero(judge.allowed(lot))}


class TestEverything:
    def test_on_a_bare_wire(self):
        expected = [Arrangement(series_ohm=ohm) for ohm in OHMS] + [Arrangement(shunt_ohm=ohm) for ohm in OHMS]
        expected += [Arrangement(shunt_ohm=r, shunt_coupling_f=c) for r, c in itertools.product(OHMS, FARADS)]
        for one, other in itertools.product(OHMS, OHMS):
            expected += [Arrangement(attenuator_ohm=one, shunt_ohm=other), Arrangement(series_ohm=one, shunt_ohm=other)]
            flat_f = 33e-12 / (1.0 / other + 1e-6) / one
            expected += [
                Arrangement(attenuator_ohm=one, attenuator_f=farads, shunt_ohm=other)
                for farads in FARADS
                if flat_f / 1.25 <= farads <= 1.25 * flat_f
            ]
        found = arrangements(OFFERS)
        assert sorted(map(repr, found)) == sorted(map(repr, expected))
        assert any(one.attenuator_f for one in found)

    def test_what_is_fitted_stays_or_comes_off(self):
        now = Arrangement(series_ohm=47.0, shunt_ohm=680.0, shunt_coupling_f=1e-9)
        found = set(arrangements([resistor(100.0)], now))
        assert found == {
            Arrangement(),
            Arrangement(series_ohm=100.0),
            Arrangement(shunt_ohm=100.0),
            Arrangement(attenuator_ohm=100.0, shunt_ohm=100.0),
            Arrangement(series_ohm=100.0, shunt_ohm=100.0),
            Arrangement(series_ohm=100.0, shunt_ohm=680.0, shunt_coupling_f=1e-9),
            Arrangement(series_ohm=47.0, shunt_ohm=100.0),
            Arrangement(series_ohm=47.0, attenuator_ohm=100.0, shunt_ohm=100.0),
        }

    def test_without_offers_only_what_is_fitted_can_come_off(self):
        assert arrangements([]) == []
        assert arrangements([], Arrangement(series_ohm=47.0)) == [Arrangement()]


class TestShelf:
    def test_what_there_is_none_of_is_left_out(self):
        assert Shelf.of([resistor(100, quantity=0)]).offers == ()

    def test_what_another_offer_beats_in_everything_is_left_out(self):
        good, poor = resistor(100, 0.05, rating_w=1.0), resistor(100, 0.2, rating_w=0.5)
        assert Shelf.of([poor, good]).offers == (good,)

    @pytest.mark.parametrize(
        "better",
        [
            resistor(100, 0.05, rating_w=0.25),  # bears less
            resistor(100, 0.05, rating_w=1.0, quantity=2),  # there are few
            resistor(100, 0.05, rating_w=1.0, where="E24"),  # has to be bought
            resistor(100, 0.05, rating_w=1.0, rating_v=20.0),  # bears fewer volts
        ],
    )
    def test_what_is_better_in_something_stays(self, better):
        other = resistor(100, 0.2, rating_w=0.5, rating_v=250.0)
        assert set(Shelf.of([other, better]).offers) == {other, better}


class TestAllowed:
    def test_a_line_of_the_list_gives_no_more_than_it_has(self):
        pair = Arrangement(series_ohm=330.0, shunt_ohm=330.0)
        assert pair not in allowed(link(), [resistor(330, quantity=1)])
        assert pair in allowed(link(), [resistor(330, quantity=2)])
        assert pair in allowed(link(), [resistor(330)])

    def test_a_part_gets_no_more_than_its_rating_derated(self):
        """20 V, a fifth of the time, 330 Ω behind 40 Ω: 0.2*(20*330/370)²/330 = 0.193 W (Joule's law)."""
        shunt = Arrangement(shunt_ohm=330.0)
        watts = 0.2 * (20.0 * 330.0 / 370.0) ** 2 / 330.0
        assert shunt in allowed(link(), [resistor(330, rating_w=2.02 * watts)])
        assert shunt not in allowed(link(), [resistor(330, rating_w=1.98 * watts)])
        assert shunt in allowed(link(), [resistor(330, rating_w=1.01 * watts)], derating=1.0)

    def test_a_part_gets_no_more_than_its_volts(self):
        shunt = Arrangement(shunt_ohm=330.0)
        assert shunt not in allowed(link(), [resistor(330, rating_v=17.8)])
        assert shunt in allowed(link(), [resistor(330, rating_v=17.9)])

    def test_the_drive_is_not_asked_for_more_than_it_has(self):
        """20 V into 40 Ω and 100 Ω is 143 mA."""
        shunt = Arrangement(shunt_ohm=100.0)
        assert shunt not in allowed(link(drive_most_a=0.140), [resistor(100)])
        assert shunt in allowed(link(drive_most_a=0.144), [resistor(100)])
        assert shunt in allowed(link(), [resistor(100)])

    def test_a_drive_that_gives_too_much_already_may_be_eased(self):
        case = link(drive_most_a=0.05, arrangement=Arrangement(shunt_ohm=100.0))
        found = allowed(case, [resistor(150), resistor(47)])
        assert Arrangement(shunt_ohm=150.0) in found
        assert Arrangement(shunt_ohm=47.0) not in found

    def test_what_is_far_slower_than_its_limit_is_not_looked_at(self):
        slow = Arrangement(series_ohm=10e3)
        assert slow not in allowed(link(), [resistor(10e3)])
        assert slow not in allowed(link(), [resistor(10e3)], {})
        assert Arrangement(series_ohm=3300.0) in allowed(link(), [resistor(3300)], {})

    def test_a_coupling_capacitor_holds_for_there_and_back(self):
        """There and back of 4.6 m at 4 ns/m is 36.8 ns: 270 Ω needs 136 pF."""
        offers = [resistor(270), capacitor(130e-12), capacitor(140e-12)]
        found = {one.shunt_coupling_f for one in allowed(link(), offers) if math.isfinite(one.shunt_coupling_f)}
        assert found == {140e-12}
