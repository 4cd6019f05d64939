"""The lumped wire against closed forms, scipy's linear simulation and the line; the published rules as data."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.signal import lsim

from restoration.engineering.lines.lumped import (
    RULES,
    damping_ohm,
    is_long,
    longest_lumped_m,
    lumped_beside_line,
    lumped_ring,
    ratio_for_overshoot,
    rules_on,
    what_the_rules_say,
)
from restoration.engineering.lines.records import LinkLoad, LinkModel, LosslessLine, PulseSource

NS = 1e-9
HENRY, FARAD = 4.6e-6, 110e-12


class TestRules:
    def test_the_published_shares(self):
        """H. Johnson: simulate beyond 1/6, terminate between 1/10 and 1/3. Cadence: 1/4 and 1/2 of the edge."""
        found = {rule.key: rule.share_of_edge for rule in RULES.values()}
        assert found["johnson simulate"] == 1 / 6
        assert (found["johnson careful"], found["johnson easy"]) == (1 / 10, 1 / 3)
        assert (found["cadence short"], found["cadence long"]) == (1 / 4, 1 / 2)

    def test_one_list_alone_spreads_ten_to_one(self):
        """interferencetechnology.com gives 1/2, 1/3, 1/4, 1/5, 1/6, 1/8, 1/10, 1/12 and 1/20."""
        listed = sorted(round(1 / rule.share_of_edge) for rule in RULES.values() if rule.key.startswith("list"))
        assert listed == [2, 3, 4, 5, 6, 8, 10, 12, 20]

    def test_every_rule_names_its_source(self):
        assert all(rule.source and rule.words for rule in RULES.values())

    @pytest.mark.parametrize(("key", "metres"), [("johnson simulate", 25 / 6), ("round trip", 12.5)])
    def test_an_edge_of_100_ns_at_4_ns_a_metre(self, key, metres):
        """Common practice, no source: 12 m by the round trip, 4 m to look carefully."""
        assert longest_lumped_m(100 * NS, RULES[key]) == pytest.approx(metres)
        assert is_long(metres * 1.01, 100 * NS, RULES[key])
        assert not is_long(metres * 0.99, 100 * NS, RULES[key])

    def test_the_strictest_rule_speaks_first(self):
        answers = [is_line for _, is_line in rules_on(5.0, 100 * NS)]
        assert answers == sorted(answers, reverse=True)

    @pytest.mark.parametrize(
        ("metres", "sentence"),
        [
            (20.0, "All 15 published rules take this wire for a line."),
            (0.5, "All 15 published rules take this wire for lumped."),
            (
                5.0,
                "The published rules disagree: 7 of 15 take this wire for a line, the others for lumped; "
                "look at both results.",
            ),
        ],
    )
    def test_they_are_said_to_disagree(self, metres, sentence):
        assert what_the_rules_say(metres, 100 * NS) == sentence


class TestRing:
    def test_five_metres_of_wire(self):
        """Worked here: 4.6 uH with 60 pF of wire and 50 pF of load: 7 MHz; zeta 0.5 to 1 is 200 to 400 ohm."""
        assert lumped_ring(HENRY, FARAD, 0.0).undamped_hz == pytest.approx(7.08e6, rel=1e-3)
        assert damping_ohm(0.5, HENRY, FARAD) == pytest.approx(204.5, rel=1e-3)
        assert damping_ohm(1.0, HENRY, FARAD) == pytest.approx(409.0, rel=1e-3)

    @pytest.mark.parametrize(("ratio", "overshoot"), [(0.5, 0.163), (0.6, 0.095), (0.7, 0.046)])
    def test_overshoot_of_a_damping_ratio(self, ratio, overshoot):
        """Closed form exp(-pi*zeta/sqrt(1 - zeta^2)), to three places."""
        ring = lumped_ring(HENRY, FARAD, damping_ohm(ratio, HENRY, FARAD))
        assert ring.damping_ratio == pytest.approx(ratio)
        assert ring.overshoot == pytest.approx(overshoot, abs=6e-4)
        assert ratio_for_overshoot(ring.overshoot) == pytest.approx(ratio)

    def test_nothing_overshoots_from_critical_damping_on(self):
        ring = lumped_ring(HENRY, FARAD, 500.0)
        assert (ring.ringing_hz, ring.overshoot, ring.overshoot_after(10 * NS)) == (None, 0.0, 0.0)

    @pytest.mark.parametrize("edge_ns", [0, 20, 60, 100, 141, 300])
    @pytest.mark.parametrize("ohm", [20.0, 102.0, 300.0])
    def test_overshoot_after_an_edge_as_scipy_simulates(self, edge_ns, ohm):
        """scipy.signal.lsim of the same circuit at 0.1 ns. Tolerance 0.001 of the step."""
        times_s = np.arange(0.0, 700 * NS, 0.1 * NS)
        edge = np.clip(times_s / max(edge_ns * NS, 1e-15), 0.0, 1.0)
        _, volts, _ = lsim(([1.0], [HENRY * FARAD, ohm * FARAD, 1.0]), edge, times_s)
        ring = lumped_ring(HENRY, FARAD, ohm)
        assert ring.overshoot_after(edge_ns * NS) == pytest.approx(max(0.0, volts.max() - 1.0), abs=1e-3)

    def test_without_an_edge_it_is_the_overshoot_of_a_step(self):
        ring = lumped_ring(HENRY, FARAD, 102.0)
        assert ring.overshoot_after(0.0) == pytest.approx(ring.overshoot, rel=1e-5)

    @given(ratio=st.floats(0.05, 3.0), henry=st.floats(1e-7, 1e-4), farad=st.floats(1e-12, 1e-9))
    def test_damping_asked_for_is_damping_found(self, ratio, henry, farad):
        assert lumped_ring(henry, farad, damping_ohm(ratio, henry, farad)).damping_ratio == pytest.approx(ratio)


class TestBesideLine:
    SOURCE = PulseSource(0.0, 30.0, 3e-6, 100 * NS, 100 * NS, resistance_ohm=100.0)

    def test_a_short_wire_with_a_heavy_load_is_lumped(self):
        """0.5 m and 200 pF: half a hundredth of the step between the two."""
        source = replace(self.SOURCE, rise_s=20 * NS, resistance_ohm=30.0)
        link = LinkModel(source, LosslessLine(276.0, 2 * NS), LinkLoad(1e6, 200e-12))
        both = lumped_beside_line(link)
        assert both.line_overshoot == pytest.approx(both.lumped_overshoot, abs=0.005)
        assert both.lumped_overshoot > 0.1

    def test_a_long_wire_is_not(self):
        """As a line the open end goes to 2*Z0/(Rs + Z0), lumped to 1 + exp(-pi*zeta/sqrt(1 - zeta^2))."""
        source = replace(self.SOURCE, rise_s=10 * NS)
        both = lumped_beside_line(LinkModel(source, LosslessLine(276.0, 60 * NS), LinkLoad(1e6)))
        assert both.line_overshoot == pytest.approx(2 * 276 / 376 - 1, abs=1e-3)
        assert abs(both.line_overshoot - both.lumped_overshoot) > 0.05

    def test_a_damped_wire_does_not_ring(self):
        link = LinkModel(self.SOURCE, LosslessLine(276.0, 4 * NS), LinkLoad(1e6, 50e-12), series_ohm=900.0)
        assert lumped_beside_line(link).words == (
            "Lumped, the load overshoots by 0.0\u00a0% and does not ring; as a line it overshoots by 0.0\u00a0%."
        )


@pytest.mark.parametrize(
    ("make", "sentence"),
    [
        (lambda: is_long(-1.0, 100 * NS), "length_m must be more than zero; -1.0 was given."),
        (lambda: is_long(math.inf, 100 * NS), "length_m must be a finite number; inf was given."),
        (lambda: longest_lumped_m(math.nan), "rise_s must be more than zero; nan was given."),
        (lambda: lumped_ring(0.0, 1e-12, 1.0), "inductance_h must be more than zero; 0.0 was given."),
        (lambda: lumped_ring(1e-6, 1e-12, -1.0), "resistance_ohm must be zero or more and finite; -1.0 was given."),
        (lambda: damping_ohm(0.0, 1e-6, 1e-12), "damping_ratio must be more than zero; 0.0 was given."),
        (
            lambda: ratio_for_overshoot(1.0),
            "An overshoot must be more than 0 and less than 1 of the step; 1.0 was given.",
        ),
        (
            lambda: lumped_ring(HENRY, FARAD, 100.0).overshoot_after(-1.0),
            "edge_s must be zero or more and finite; -1.0 was given.",
        ),
    ],
)
def test_nonsense_gets_a_sentence(make, sentence):
    with pytest.raises(ValueError) as refused:
        make()
    assert str(refused.value) == sentence
