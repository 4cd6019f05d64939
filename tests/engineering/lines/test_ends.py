"""Both ends as ratios of polynomials, against nodal analysis with complex numbers."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from restoration.engineering.lines.ends import far_end, near_end, settled_shares, time_constants_s
from restoration.engineering.lines.polynomials import at, real_roots
from restoration.engineering.lines.records import LinkLoad, LinkModel, LosslessLine, PulseSource

PF = 1e-12
SOURCE = PulseSource(0.0, 20.0, 1e-6, 1e-7, 1e-7, 150.0)
LINE = LosslessLine(270.0, 16e-9)


@st.composite
def links(draw):
    ohm, farad = st.floats(20, 1e5), st.floats(1, 1000).map(lambda pf: pf * PF)
    return LinkModel(
        SOURCE,
        LINE,
        LinkLoad(draw(ohm), draw(farad), draw(st.sampled_from([0.0, 470.0, 1e4]))),
        series_ohm=draw(st.sampled_from([0.0, 120.0])),
        shunt_ohm=draw(ohm),
        source_load_ohm=draw(ohm),
        source_load_f=draw(farad),
        source_shunt_ohm=draw(ohm),
        attenuator_ohm=draw(st.sampled_from([0.0, 1000.0])),
        attenuator_f=draw(farad),
        shunt_coupling_f=draw(st.one_of(st.just(math.inf), farad)),
    )


def impedances(link, s):
    """At the source terminal, of the attenuator, across the load, and the share of the load's volts on the grid."""
    load = link.load
    terminal = 1 / (1 / link.source_load_ohm + 1 / link.source_shunt_ohm + s * link.source_load_f)
    attenuator = link.attenuator_ohm / (1 + s * link.attenuator_ohm * link.attenuator_f)
    grid = 1 / (1 / load.resistance_ohm + s * load.capacitance_f)
    coupling = 0.0 if math.isinf(link.shunt_coupling_f) else 1 / (s * link.shunt_coupling_f)
    across = 1 / (1 / (load.grid_stopper_ohm + grid) + 1 / (link.shunt_ohm + coupling))
    return terminal, attenuator, across, grid / (load.grid_stopper_ohm + grid)


@settings(max_examples=80, deadline=None)
@given(link=links(), hertz=st.floats(1e4, 1e8))
def test_reflections_and_shares_as_nodal_analysis(link, hertz):
    """The wire as its chain matrix between lumped impedances: cosh, sinh of s*Td. Tolerance 1e-9."""
    s, z0 = 2j * math.pi * hertz, link.line.impedance_ohm
    terminal, attenuator, across, on_grid = impedances(link, s)
    end_ohm, source_ohm = attenuator + across, link.source.resistance_ohm
    far, near = far_end(link), near_end(link)
    assert at(far.sent_back, s) / at(far.divisor, s) == pytest.approx((end_ohm - z0) / (end_ohm + z0), rel=1e-9)
    back_ohm = link.series_ohm + source_ohm * terminal / (source_ohm + terminal)
    assert at(near.sent_back, s) / at(near.divisor, s) == pytest.approx((back_ohm - z0) / (back_ohm + z0), rel=1e-8)

    turn = s * link.line.delay_s
    cosh, sinh = np.cosh(turn), np.sinh(turn)
    in_ohm = z0 * (end_ohm * cosh + z0 * sinh) / (z0 * cosh + end_ohm * sinh)
    hung = 1 / (1 / terminal + 1 / (link.series_ohm + in_ohm))
    source = hung / (source_ohm + hung)
    start = source * in_ohm / (link.series_ohm + in_ohm)
    end = start / (cosh + z0 / end_ohm * sinh)
    shares = settled_shares(link, hertz)
    assert shares.source == pytest.approx(source, rel=1e-7)
    assert shares.line_start == pytest.approx(start, rel=1e-7)
    assert shares.line_end == pytest.approx(end, rel=1e-7)
    assert shares.load == pytest.approx(end * across / end_ohm, rel=1e-7)
    assert shares.grid == pytest.approx(end * across / end_ohm * on_grid, rel=1e-7)


@settings(max_examples=60, deadline=None)
@given(link=links())
def test_the_shortest_time_constant_is_never_overstated(link):
    divisor = far_end(link).divisor
    found = time_constants_s(divisor)
    true = sorted(-1 / root for root in real_roots(tuple(here * 1e9**power for power, here in enumerate(divisor))))
    assert all(constant > 0 for constant in found)
    assert found[-1] <= true[0] * 1e-9 * (1 + 1e-9)
    assert sum(found) >= true[-1] * 1e-9 / len(found) * (1 - 1e-9)


def test_a_capacitance_too_small_to_be_felt_is_none():
    assert len(far_end(LinkModel(SOURCE, LINE, LinkLoad(1e6, 1e-30))).divisor) == 1


def test_the_resistive_reflections_of_the_model_are_those_at_rest():
    link = LinkModel(
        SOURCE,
        LINE,
        LinkLoad(1000.0, 50 * PF, grid_stopper_ohm=200.0),
        series_ohm=47.0,
        attenuator_ohm=330.0,
        source_load_ohm=600.0,
        shunt_ohm=1200.0,
    )
    far, near = far_end(link), near_end(link)
    assert link.reflection_at_load == pytest.approx(far.sent_back[0] / far.divisor[0])
    assert link.reflection_at_source == pytest.approx(near.sent_back[0] / near.divisor[0])
    assert link.reflection_at_load == pytest.approx((930.0 - 270.0) / (930.0 + 270.0))
