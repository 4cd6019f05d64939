"""Laws the wave has to keep, whatever is fitted at the ends, and the plain stepping loop as a second opinion."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from restoration.engineering.lines.ends import settled_shares
from restoration.engineering.lines.records import LinkLoad, LinkModel, LosslessLine, PulseSource, SupplyRipple
from restoration.engineering.lines.reflection import lattice
from restoration.engineering.lines.volts import link_volts
from tests.engineering.lines.circuits import POINTS
from tests.engineering.lines.stepping_loop import stepped_volts

NS, PF = 1e-9, 1e-12
TIMES_S = np.arange(0, 2000, 4) * NS

ohms = st.floats(20, 2000)
EDGES = st.floats(20, 300)


@st.composite
def links(draw, *, edge=EDGES):
    """Any of the parts at either end, a pulse of 0.8 us."""
    source = PulseSource(
        draw(st.sampled_from([0.0, -3.0])),
        20.0,
        800 * NS,
        draw(edge) * NS,
        draw(edge) * NS,
        draw(ohms),
        start_s=50 * NS,
    )
    return LinkModel(
        source,
        LosslessLine(draw(st.floats(50, 320)), draw(st.floats(2, 50)) * NS),
        LinkLoad(
            draw(st.sampled_from([300.0, 1e6, math.inf])),
            draw(st.floats(0, 100)) * PF,
            draw(st.sampled_from([0.0, 100.0, 1e4])),
        ),
        series_ohm=draw(st.sampled_from([0.0, 150.0])),
        shunt_ohm=draw(st.sampled_from([270.0, 2200.0, math.inf])),
        source_load_ohm=draw(st.sampled_from([1e4, math.inf])),
        source_load_f=draw(st.floats(0, 200)) * PF,
        attenuator_ohm=draw(st.sampled_from([0.0, 1000.0])),
        attenuator_f=draw(st.sampled_from([0.0, 47.0])) * PF,
        shunt_coupling_f=draw(st.sampled_from([1e-9, math.inf])),
    )


def five(volts):
    return np.array([getattr(volts, point) for point in POINTS])


@settings(max_examples=40, deadline=None)
@given(link=links(), scale=st.floats(-20, 20), shift_ns=st.floats(0, 500))
def test_scaling_scales_and_shifting_shifts(link, scale, shift_ns):
    source, shift_s = link.source, shift_ns * NS
    other = replace(
        source, rest_v=source.rest_v * scale, active_v=source.active_v * scale, start_s=source.start_s + shift_s
    )
    first = five(link_volts(link, TIMES_S))
    second = five(link_volts(replace(link, source=other), TIMES_S + shift_s))
    np.testing.assert_allclose(second, first * scale, atol=1e-4 * 23 * max(1.0, abs(scale)))


@settings(max_examples=30, deadline=None)
@given(link=links())
def test_a_train_is_its_pulses_one_on_the_other(link):
    period_s = 1300 * NS
    still = replace(link, source=replace(link.source, rest_v=0.0))
    train = five(link_volts(replace(still, source=replace(still.source, period_s=period_s)), TIMES_S + 1e-6))
    alone = [five(link_volts(still, TIMES_S + 1e-6 - number * period_s)) for number in range(3)]
    np.testing.assert_allclose(train, sum(alone), atol=1e-3 * 20)


@settings(max_examples=40, deadline=None)
@given(link=links())
def test_rest_before_and_the_divider_in_the_end(link):
    """Before the pulse the resistive divider of the rest level, after a long pulse that of the active one."""
    link = replace(link, source=replace(link.source, duration_s=1e-3, start_s=10e-6))
    load, source = link.load, link.source
    far_siemens = 1 / (load.resistance_ohm + load.grid_stopper_ohm)
    if math.isinf(link.shunt_coupling_f):
        far_siemens += 1 / link.shunt_ohm
    out_siemens = 1 / link.source_load_ohm
    if far_siemens:
        out_siemens += 1 / (link.series_ohm + link.attenuator_ohm + 1 / far_siemens)
    terminal = 1 / (1 + source.resistance_ohm * out_siemens)
    at_load = terminal / (1 + (link.series_ohm + link.attenuator_ohm) * far_siemens)
    volts = link_volts(link, np.array([0.0, 5e-6, 900e-6]))
    assert volts.source_v == pytest.approx(terminal * np.array([source.rest_v, source.rest_v, 20.0]), rel=2e-4)
    assert volts.load_v == pytest.approx(at_load * np.array([source.rest_v, source.rest_v, 20.0]), rel=2e-4)
    assert settled_shares(link).load.real == pytest.approx(at_load, rel=1e-9)


@settings(max_examples=40, deadline=None)
@given(link=links())
def test_nothing_comes_before_its_time(link):
    """The load rests until one delay after the pulse begins."""
    until_s = link.source.start_s + link.line.delay_s
    volts = link_volts(link, np.linspace(0.0, until_s, 50))
    rest_v = settled_shares(link).load.real * link.source.rest_v
    assert volts.load_v == pytest.approx(rest_v, abs=1e-9)


@settings(max_examples=40, deadline=None)
@given(link=links())
def test_the_wire_gives_back_no_more_than_it_was_given(link):
    """Energy into the start of the wire since the pulse began is never below nothing. Tolerance 0.1 % of its peak."""
    link = replace(link, series_ohm=150.0, source=replace(link.source, rest_v=0.0))
    times_s = np.arange(0, 2500) * NS
    volts = link_volts(link, times_s)
    current_a = (volts.source_v - volts.line_start_v) / link.series_ohm
    energy_j = np.cumsum(volts.line_start_v * current_a) * NS
    assert energy_j.min() >= -1e-3 * energy_j.max()


@settings(max_examples=40, deadline=None)
@given(z0=st.floats(50, 320), load_ohm=ohms, split=st.floats(0, 1))
def test_a_matched_source_sends_nothing_back_again(z0, load_ohm, split):
    source = PulseSource(0.0, 10.0, 1.0, 0.0, 0.0, resistance_ohm=split * z0)
    link = LinkModel(source, LosslessLine(z0, 10 * NS), LinkLoad(load_ohm), series_ohm=z0 - split * z0)
    after_v = link_volts(link, np.arange(11, 200, 3) * NS).load_v
    np.testing.assert_allclose(after_v, 10.0 * load_ohm / (load_ohm + z0), rtol=1e-9)


@settings(max_examples=60, deadline=None)
@given(source_ohm=st.floats(0, 2000), z0=st.floats(50, 320), load_ohm=ohms, delay_ns=st.floats(0.1, 80))
def test_a_step_between_resistances_is_the_lattice(source_ohm, z0, load_ohm, delay_ns):
    delay_s = delay_ns * NS
    link = LinkModel(PulseSource(0.0, 10.0, 1.0, 0.0, 0.0, source_ohm), LosslessLine(z0, delay_s), LinkLoad(load_ohm))
    expected = lattice(10.0, source_ohm, z0, load_ohm, count=12)
    bounce = np.arange(12)
    assert link_volts(link, (2 * bounce + 1.5) * delay_s).load_v == pytest.approx(expected.load_v, abs=2e-4)
    assert link_volts(link, (2 * bounce + 0.5) * delay_s).source_v == pytest.approx(expected.source_v, abs=2e-4)


@settings(max_examples=30, deadline=None)
@given(link=links(edge=st.floats(40, 300)))
def test_the_step_chosen_is_fine_enough(link):
    """0.1 % of the swing against a tenth of the step at every point."""
    chosen, fine = five(link_volts(link, TIMES_S)), five(link_volts(link, TIMES_S, longest_step_s=0.1 * NS))
    assert np.abs(chosen - fine).max() < 1e-3 * abs(link.source.step_v)


@settings(max_examples=10, deadline=None)
@given(
    load=st.builds(LinkLoad, st.sampled_from([400.0, 1e6]), st.floats(0, 100).map(lambda pf: pf * PF)),
    source_ohm=ohms,
    series_ohm=st.sampled_from([0.0, 150.0]),
    z0=st.floats(150, 320),
    delay_ns=st.floats(4, 40),
)
def test_the_stepping_loop_agrees(load, source_ohm, series_ohm, z0, delay_ns):
    """F. H. Branin's method step by step at 0.5 ns. Tolerance 0.4 % of the swing, the loop's bends between steps."""
    source = PulseSource(1.0, 21.0, 600 * NS, 60 * NS, 90 * NS, source_ohm, start_s=50 * NS)
    link = LinkModel(source, LosslessLine(z0, delay_ns * NS), load, series_ohm=series_ohm)
    near_v, far_v = stepped_volts(link, TIMES_S, longest_step_s=0.5 * NS)
    volts = link_volts(link, TIMES_S)
    assert np.abs(volts.line_start_v - near_v).max() < 4e-3 * 20
    assert np.abs(volts.load_v - far_v).max() < 4e-3 * 20


class TestSpecialCases:
    LINE = LosslessLine(280.0, 16 * NS)

    def test_a_coupled_shunt_takes_nothing_at_rest(self):
        source = PulseSource(12.0, 30.0, 1e-6, 50 * NS, 50 * NS, 500.0, start_s=1e-6)
        link = LinkModel(source, self.LINE, LinkLoad(1e6), shunt_ohm=270.0, shunt_coupling_f=1e-9)
        assert link_volts(link, np.array([0.0, 0.9e-6])).load_v == pytest.approx(12.0 * 1e6 / (1e6 + 500))

    def test_a_step_without_an_edge_into_a_capacitor(self):
        """Closed form behind a matched source: E(1 - exp(-t/(Z0*C))). Tolerance 0.3 % of the step."""
        link = LinkModel(PulseSource(0.0, 10.0, 1.0, 0.0, 0.0, 280.0), self.LINE, LinkLoad(capacitance_f=100 * PF))
        since_s = np.arange(3, 200) * NS
        expected = 10.0 * -np.expm1(-since_s / (280.0 * 100 * PF))
        assert link_volts(link, since_s + 16 * NS).load_v == pytest.approx(expected, abs=0.03)

    def test_a_wire_of_nothing_is_a_resistor_and_a_capacitor(self):
        """A third of a millimetre for 150 us: the delay is an all-pass. RC closed form, 0.1 % of the step.

        With a coupled shunt as well, beside five centimetres, whose 0.7 pF are worth 0.2 % of the step.
        """
        source = PulseSource(0.0, 10.0, 200e-6, 600 * NS, 600 * NS, 2000.0)
        load = LinkLoad(1e6, 100 * PF)
        slow = {"shunt_ohm": 1e5, "shunt_coupling_f": 100 * PF}
        link = LinkModel(source, LosslessLine(280.0, 1e-12), load, **slow)
        times_s = np.linspace(0.0, 150e-6, 4000)
        longer = replace(link, line=LosslessLine(280.0, 0.2 * NS))
        found, beside = link_volts(link, times_s).load_v, link_volts(longer, times_s).load_v
        assert np.abs(found - beside).max() < 0.03
        plain = link_volts(replace(link, shunt_ohm=math.inf, shunt_coupling_f=math.inf), times_s).load_v
        tau_s = 100 * PF * 2000.0 * 1e6 / (1e6 + 2000)
        later = times_s > 600 * NS
        tail = np.exp(-(times_s[later] - 600 * NS) / tau_s) - np.exp(-times_s[later] / tau_s)
        expected = 10.0 * 1e6 / (1e6 + 2000) * (1.0 - tau_s / (600 * NS) * tail)
        assert plain[later] == pytest.approx(expected, abs=0.01)

    def test_slow_capacitors_and_a_short_step_lose_nothing_to_rounding(self):
        """Three time constants four orders above the step: 0.02 % of the swing beside a step ten times longer."""
        source = PulseSource(0.0, 10.0, 3e-6, 50 * NS, 50 * NS, 90.0)
        link = LinkModel(
            source,
            LosslessLine(280.0, 4 * NS),
            LinkLoad(1e6, 60 * PF, grid_stopper_ohm=1e4),
            attenuator_ohm=1000.0,
            attenuator_f=1e-9,
            shunt_ohm=1200.0,
            shunt_coupling_f=100e-9,
        )
        times_s = np.linspace(0.0, 5e-6, 2000)
        short, longer = (five(link_volts(link, times_s, longest_step_s=step * NS)) for step in (0.05, 0.5))
        assert np.abs(short - longer).max() < 2e-3

    def test_equal_time_constants_are_no_trouble(self):
        """Attenuator, stopper and coupling all of 100 ns: the roots fall together. Against a tenth of the step."""
        source = PulseSource(0.0, 10.0, 1e-6, 50 * NS, 50 * NS, 90.0)
        link = LinkModel(
            source,
            self.LINE,
            LinkLoad(capacitance_f=100 * PF, grid_stopper_ohm=1000.0),
            attenuator_ohm=1000.0,
            attenuator_f=100 * PF,
            shunt_ohm=1000.0,
            shunt_coupling_f=100 * PF,
        )
        chosen, fine = five(link_volts(link, TIMES_S)), five(link_volts(link, TIMES_S, longest_step_s=0.1 * NS))
        assert np.abs(chosen - fine).max() < 0.01

    def test_ripple_is_the_steady_sine(self):
        """At 100 Hz the wire is nothing and the divider all."""
        source = PulseSource(0.0, 10.0, 1e-6, 50 * NS, 50 * NS, 100.0, start_s=1.0)
        link = LinkModel(source, self.LINE, LinkLoad(400.0), ripple=SupplyRipple(0.5, 100.0))
        volts = link_volts(link, np.array([2.5e-3, 5e-3, 7.5e-3])).load_v
        assert volts == pytest.approx([0.4, 0.0, -0.4], abs=1e-5)

    def test_ripple_of_a_quarter_wave_stands_on_the_wire(self):
        """At f = 1/(4*Td) an open line turns a source's volts into Z0/Rs times as many at its end."""
        source = PulseSource(0.0, 10.0, 1e-6, 0.0, 0.0, 70.0, start_s=1.0)
        link = LinkModel(source, self.LINE, ripple=SupplyRipple(1.0, 1 / (4 * 16 * NS)))
        times_s = np.arange(0, 64 * NS, 0.5 * NS)
        assert link_volts(link, times_s).load_v.max() == pytest.approx(280.0 / 70.0, rel=1e-3)

    def test_a_long_droop_is_hardly_one(self):
        source = PulseSource(0.0, 10.0, 1e-6, 50 * NS, 50 * NS, 90.0, droop_time_constant_s=10.0)
        link = LinkModel(source, self.LINE, LinkLoad(1e6, 40 * PF))
        plain = replace(link, source=replace(source, droop_time_constant_s=None))
        drooped, straight = link_volts(link, TIMES_S).load_v, link_volts(plain, TIMES_S).load_v
        np.testing.assert_allclose(drooped, straight, atol=1e-3)

    def test_a_droop_reaches_the_load(self):
        """1 - exp(-0.1) of the top is gone after a tenth of the time constant."""
        source = PulseSource(0.0, 10.0, 2e-6, 10 * NS, 10 * NS, 280.0, droop_time_constant_s=10e-6)
        link = LinkModel(source, self.LINE, LinkLoad(1e9, 10 * PF))
        top = link_volts(link, np.array([0.5e-6, 1.5e-6])).load_v
        assert top[1] / top[0] == pytest.approx(math.exp(-0.1), rel=1e-3)

    @pytest.mark.parametrize("shape", ["before the pulse", "one time"])
    def test_odd_times(self, shape):
        link = LinkModel(PulseSource(4.0, 10.0, 1e-6, 50 * NS, 50 * NS, 90.0, start_s=1e-6), self.LINE, LinkLoad(810.0))
        times_s = np.array([-1e-6, 0.0]) if shape == "before the pulse" else np.array([0.5e-6])
        assert link_volts(link, times_s).load_v == pytest.approx(3.6)


@pytest.mark.parametrize(
    ("parts", "sentence"),
    [
        ({"source_load_ohm": 0.0}, "source_load_ohm must be more than zero; 0.0 was given."),
        ({"source_load_f": -1e-12}, "source_load_f must be zero or more and finite; -1e-12 was given."),
        ({"source_shunt_ohm": math.nan}, "source_shunt_ohm must be more than zero; nan was given."),
        ({"attenuator_ohm": -1.0}, "attenuator_ohm must be zero or more and finite; -1.0 was given."),
        ({"attenuator_f": math.inf}, "attenuator_f must be zero or more and finite; inf was given."),
        ({"shunt_coupling_f": 0.0}, "shunt_coupling_f must be more than zero; 0.0 was given."),
    ],
)
def test_nonsense_parts_get_a_sentence(parts, sentence):
    with pytest.raises(ValueError) as refused:
        LinkModel(PulseSource(0.0, 1.0, 1e-6, 0.0, 0.0, 50.0), TestSpecialCases.LINE, **parts)
    assert str(refused.value) == sentence


def test_a_stopper_below_zero_gets_a_sentence():
    with pytest.raises(ValueError) as refused:
        LinkLoad(grid_stopper_ohm=-1.0)
    assert str(refused.value) == "grid_stopper_ohm must be zero or more and finite; -1.0 was given."


def test_a_step_below_zero_gets_a_sentence():
    link = LinkModel(PulseSource(0.0, 1.0, 1e-6, 0.0, 0.0, 50.0), TestSpecialCases.LINE)
    with pytest.raises(ValueError) as refused:
        link_volts(link, TIMES_S, longest_step_s=0.0)
    assert str(refused.value) == "longest_step_s must be more than zero; 0.0 was given."
