"""A damped inductor against ngspice, closed forms, and what its resistor's drift does."""

import math
import shutil
import subprocess
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from restoration.engineering.coils import (
    DampedInductor,
    critical_ohm,
    current_part,
    damped_figures,
    damping_of,
    drift_of,
    overshoot_of,
    settling_s,
    volts_per_ampere,
)

REFERENCE = DampedInductor(100e-6, 100e-12, 10e3)

inductors = st.builds(
    DampedInductor,
    inductance_h=st.floats(1e-6, 10e-3),
    capacitance_f=st.floats(1e-12, 1e-9),
    body_ohm=st.floats(10.0, 1e6),
    winding_ohm=st.floats(0.0, 100.0),
)


class TestClosedForms:
    def test_reference_case(self):
        """100 µH, 100 pF, 10 k: arithmetic."""
        found = damped_figures(REFERENCE)
        assert found.resonance_hz == pytest.approx(1.59154943e6, rel=1e-8)
        assert found.characteristic_ohm == pytest.approx(1000.0)
        assert found.q == pytest.approx(10.0)
        assert found.damping == pytest.approx(0.05)
        assert found.critical_ohm == pytest.approx(500.0)
        assert found.damped_hz == pytest.approx(1.58955875e6, rel=1e-8)
        assert 1.0 / found.damped_hz == pytest.approx(629.1054e-9, rel=1e-7)
        assert found.period_ratio == pytest.approx(1.36964653, rel=1e-8)

    @pytest.mark.parametrize(
        ("damping", "overshoot"), [(0.5, 0.163), (0.6, 0.0948), (0.7, 0.046), (0.0, 1.0), (2.0, 0.0)]
    )
    def test_overshoot(self, damping, overshoot):
        """exp(-pi zeta / sqrt(1 - zeta²)): 16 %, 9.5 %, 4.6 %."""
        assert overshoot_of(damping) == pytest.approx(overshoot, abs=5e-5)

    @pytest.mark.parametrize("damping", [0.01, 0.05, 0.3, 0.7])
    def test_damping_from_the_decay_of_a_ring(self, damping):
        ratio = math.exp(2 * math.pi * damping / math.sqrt(1 - damping**2))
        assert damping_of(ratio) == pytest.approx(damping)

    def test_a_winding_damps_too(self):
        """Series r alone: zeta = r / 2 × sqrt(C / L)."""
        alone = DampedInductor(100e-6, 100e-12, math.inf, 100.0)
        assert alone.damping == pytest.approx(0.05)
        assert replace(alone, winding_ohm=0.0).damping == 0.0

    @given(inductors)
    def test_critical_is_where_it_just_does_not_ring(self, inductor):
        critical = critical_ohm(inductor.inductance_h, inductor.capacitance_f, inductor.winding_ohm)
        assert replace(inductor, body_ohm=critical).damping == pytest.approx(1.0, rel=1e-9)

    def test_critical_settles_by_its_closed_form(self):
        """1 + x = 0.02 e^x for x = t / sqrt(LC): x = 5.8339 at 2 %."""
        assert settling_s(DampedInductor(100e-6, 100e-12, 500.0)) == pytest.approx(583.39e-9, rel=1e-5)

    def test_nothing_damps(self):
        endless = DampedInductor(100e-6, 100e-12, math.inf)
        assert settling_s(endless) == math.inf
        assert damped_figures(endless).q == math.inf


class TestResponse:
    @given(inductors, st.sampled_from((0.1, 0.02, 0.001)))
    def test_settled_is_settled(self, inductor, band):
        """Just before it is outside the band, and never after: looked at over twenty more swings."""
        settled = settling_s(inductor, band)
        assert abs(current_part(inductor, np.array([settled]))[0] - 1.0) == pytest.approx(band, rel=1e-4)
        swings = 20 * 2 * math.pi / inductor.natural_rad_per_s * max(1.0, inductor.damping)
        after = settled + np.linspace(1e-6, 1.0, 2000) * swings
        assert np.abs(current_part(inductor, after) - 1.0).max() <= band * (1 + 1e-6)

    @given(inductors)
    def test_first_peak_is_the_highest(self, inductor):
        found = damped_figures(inductor)
        until = 4 * found.peak_s if found.peak_s < math.inf else 100 * found.damping / inductor.natural_rad_per_s
        volts = volts_per_ampere(inductor, np.linspace(0.0, until, 2001))
        assert volts.max() <= found.peak_ohm * (1 + 1e-9)
        assert volts.max() == pytest.approx(found.peak_ohm, rel=1e-4)

    @given(inductors)
    def test_overshoot_is_that_of_the_current(self, inductor):
        """The largest current against the closed form, where it rings."""
        found = damped_figures(inductor)
        if found.damped_hz is not None and found.damping < 0.95:
            peak = current_part(inductor, np.array([0.5 / found.damped_hz]))[0]
            assert peak - 1.0 == pytest.approx(found.overshoot, rel=1e-6, abs=1e-12)

    def test_it_starts_at_nothing_with_the_slope_of_its_capacitance(self):
        damped = DampedInductor(100e-6, 100e-12, 2e3, 30.0)
        volts = volts_per_ampere(damped, np.array([0.0, 1e-13]))
        assert volts[0] == pytest.approx(0.0, abs=1e-9)
        assert volts[1] == pytest.approx(1e-13 / 100e-12, rel=1e-3)

    def test_it_ends_at_winding_beside_body(self):
        damped = DampedInductor(100e-6, 100e-12, 2e3, 30.0)
        end = volts_per_ampere(damped, np.array([1e-3]))[0]
        assert end == pytest.approx(30.0 * 2000.0 / 2030.0)

    def test_far_beyond_critical_it_is_two_decays(self):
        """L/R and R C far apart: the current rises with L/R, the voltage falls with it from R."""
        slow = DampedInductor(1e-3, 1e-12, 10.0)
        assert slow.damping > 1e3
        assert current_part(slow, np.array([1e-4]))[0] == pytest.approx(1.0 - math.exp(-1.0), rel=1e-6)
        assert settling_s(slow) == pytest.approx(1e-4 * math.log(50.0), rel=1e-6)
        assert damped_figures(slow).peak_ohm == pytest.approx(10.0, rel=1e-4)

    def test_a_winding_of_much_resistance_lets_the_voltage_only_rise(self):
        """r far above sqrt(L/C): R C with r beside R, no peak; the highest is where it ends."""
        found = damped_figures(DampedInductor(1e-6, 1e-9, 1e4, 1e4))
        assert found.peak_s == math.inf
        assert found.peak_ohm == pytest.approx(5e3)

    def test_all_but_critical_has_no_second_peak_to_tell(self):
        assert damped_figures(DampedInductor(100e-6, 100e-12, 500.0 * (1 + 1e-6))).period_ratio is None

    def test_hardly_damped_at_all(self):
        """After a million swings the peaks are still told apart: the decay alone gives when."""
        endless = DampedInductor(100e-6, 100e-12, 1e12)
        assert settling_s(endless) == pytest.approx(math.log(50.0) / endless.decay_per_s, rel=1e-6)


SIMULATED = [
    REFERENCE,
    DampedInductor(100e-6, 100e-12, 1000.0),
    DampedInductor(100e-6, 100e-12, 500.0),
    DampedInductor(100e-6, 100e-12, 150.0),
    DampedInductor(47e-6, 33e-12, 2200.0, 12.0),
]


@pytest.fixture(scope="module")
def simulated(tmp_path_factory):
    """Voltage and current of all cases after a step of a milliampere, solved by one run of ngspice."""
    if not shutil.which("ngspice"):
        pytest.fail("ngspice is not installed; install it with 'apt-get install ngspice' and run the tests again.")
    folder = tmp_path_factory.mktemp("damped")
    lines = ["* damped inductors"]
    for place, case in enumerate(SIMULATED):
        lines += [
            f"I{place} 0 n{place} PULSE(0 1m 0 1p 1p 1 2)",
            f"R{place} n{place} 0 {case.body_ohm}",
            f"C{place} n{place} 0 {case.capacitance_f}",
            f"L{place} n{place} w{place} {case.inductance_h}",
            f"V{place} x{place} 0 0",
            f"RS{place} w{place} x{place} {case.winding_ohm or 1e-6}",
        ]
    nodes = " ".join(f"v(n{place}) i(v{place})" for place in range(len(SIMULATED)))
    lines += [
        ".options reltol=1e-6 abstol=1e-12 vntol=1e-9 interp", ".tran 1n 2u 0 0.5n uic", ".control", "run",
        "set wr_singlescale", f"wrdata {folder / 'out.txt'} {nodes}", "quit 0", ".endc", ".end",
    ]  # fmt: skip
    (folder / "damped.cir").write_text("\n".join(lines) + "\n")
    subprocess.run(["ngspice", "-b", str(folder / "damped.cir")], check=True, capture_output=True, timeout=60)
    return np.loadtxt(folder / "out.txt")


class TestNgspice:
    @pytest.mark.parametrize("place", range(len(SIMULATED)))
    def test_voltage_and_current(self, simulated, place):
        """Every point over 2 µs. Tolerance 0.1 % of the highest voltage and of the final current."""
        case, times = SIMULATED[place], simulated[:, 0]
        volts = volts_per_ampere(case, times) * 1e-3
        parts = current_part(case, times) * 1e-3 / (1.0 + case.winding_ohm / case.body_ohm)
        assert np.abs(volts - simulated[:, 1 + 2 * place]).max() < 1e-3 * volts.max()
        assert np.abs(parts - simulated[:, 2 + 2 * place]).max() < 1e-6

    def test_reference_zero_crossings_and_peaks(self, simulated):
        """An earlier run of ngspice gave zeros at 314.5554 and 943.6660 ns, peaks in the ratio 1.369643."""
        times, volts = simulated[:, 0], simulated[:, 1]
        falling = np.nonzero((volts[:-1] > 0) & (volts[1:] <= 0))[0]
        crossed = [times[k] + (times[k + 1] - times[k]) * volts[k] / (volts[k] - volts[k + 1]) for k in falling[:2]]
        assert crossed == pytest.approx([314.5554e-9, 943.6660e-9], rel=2e-5)
        assert crossed[1] - crossed[0] == pytest.approx(1.0 / damped_figures(REFERENCE).damped_hz, rel=2e-5)
        peaks = [volts[(times > start) & (times < start + 3e-7)].max() for start in (0.0, 629e-9)]
        assert peaks == pytest.approx([0.9266914, 0.6765933], rel=1e-4)


class TestDrift:
    def test_it_matters_where_it_rings_a_little(self):
        """At half the damping, a fifth of the resistor is several percent of overshoot: 8.1 to 23.7 %."""
        found = drift_of(DampedInductor(100e-6, 100e-12, 1000.0), 0.2)
        assert found.matters
        assert found.low.overshoot == pytest.approx(overshoot_of(0.625))
        assert found.high.overshoot == pytest.approx(overshoot_of(0.5 / 1.2))
        assert found.worst_move == pytest.approx(0.163 - 0.0808, abs=2e-4)
        assert found.verdict.startswith("The drift matters: ±20 % of the resistor moves the overshoot from 16.3 % to ")

    def test_it_does_not_matter_well_damped(self):
        found = drift_of(DampedInductor(100e-6, 100e-12, 400.0), 0.1)
        assert not found.matters
        assert found.verdict == "The drift does not matter: ±10 % of the resistor leaves the overshoot at 0.0 %."

    def test_what_matters_is_for_the_asker_to_say(self):
        asked = DampedInductor(100e-6, 100e-12, 1000.0)
        assert not drift_of(asked, 0.2, matters_from=0.1).matters
        assert drift_of(asked, 0.02, matters_from=0.005).matters

    @given(inductors)
    def test_sensitivity_is_the_slope(self, inductor):
        """(R / zeta) d zeta / dR by a difference of one in a hundred thousand."""
        step = 1e-5
        ends = [replace(inductor, body_ohm=inductor.body_ohm * (1 + sign * step)).damping for sign in (-1, 1)]
        slope = (ends[1] - ends[0]) / (2 * step) / inductor.damping
        assert drift_of(inductor, 0.1).damping_per_ohm_part == pytest.approx(slope, abs=1e-5)

    def test_without_a_winding_it_is_one_for_one(self):
        assert drift_of(REFERENCE, 0.1).damping_per_ohm_part == pytest.approx(-1.0)


class TestRefusals:
    @pytest.mark.parametrize("nonsense", [0.0, -1.0, math.nan])
    def test_nonsense(self, nonsense):
        for place, words in ((0, "an inductance above zero and finite"), (1, "a capacitance above zero and finite")):
            given_ = [100e-6, 100e-12, 1000.0]
            given_[place] = nonsense
            with pytest.raises(ValueError, match=f"A damped inductor has {words}; {nonsense} was given."):
                DampedInductor(*given_)
        with pytest.raises(ValueError, match=f"The resistance across is above zero; {nonsense} was given."):
            DampedInductor(100e-6, 100e-12, nonsense)

    def test_winding_below_zero(self):
        with pytest.raises(ValueError, match="winding_ohm must be zero or more and finite; -1 was given."):
            DampedInductor(100e-6, 100e-12, 1000.0, -1)

    @pytest.mark.parametrize("band", [0.0, 1.0, math.nan])
    def test_band(self, band):
        with pytest.raises(ValueError, match="The band of settling is a part between 0 and 1; "):
            damped_figures(REFERENCE, band)
        with pytest.raises(ValueError, match="The band of settling is a part between 0 and 1; "):
            settling_s(REFERENCE, band)

    def test_drift_and_ratio(self):
        with pytest.raises(ValueError, match="A drift is a part from 0 to below 1; 1.0 was given."):
            drift_of(REFERENCE, 1.0)
        with pytest.raises(ValueError, match="What matters is above zero; 0.0 was given."):
            drift_of(REFERENCE, 0.1, matters_from=0.0)
        with pytest.raises(ValueError, match="One peak over the next is 1 or more; 0.9 was given."):
            damping_of(0.9)
        with pytest.raises(ValueError, match="A damping ratio is zero or more; -0.1 was given."):
            overshoot_of(-0.1)
