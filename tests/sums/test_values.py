"""Published and outside figures, typed as people write them, read off the answers of the sums."""

import math

import pytest

from restoration.sums.catalogue import sums
from restoration.sums.declared import Value
from restoration.sums.working import Worked, work


def worked(slug: str, **given: str) -> Worked:
    """A sum worked with its example's figures and these."""
    one = sums()[slug]
    found = work(one, one.example | given)
    assert found.answer, found.sentences
    return found


def results(slug: str, **given: str) -> dict[str, Value]:
    return {result.key: result.value for result in worked(slug, **given).answer.results}


DIVIDER = {"source_v": "30", "source_ohm": "1k", "series_ohm": "10k", "shunt_ohm": "6k8", "load_ohm": "47k"}


class TestTooLarge:
    def test_a_loaded_divider(self):
        """ngspice 39, operating point: level, current and heat in the series resistor; corners by arithmetic."""
        found = results("divider", **DIVIDER, tolerance="5", duty="100")
        assert found["load_v"] == pytest.approx(10.5200790, rel=1e-8)
        assert found["source_a"] == pytest.approx(1.77090191e-3, rel=1e-8)
        assert found["series_w"] == pytest.approx(31.36093572e-3, rel=1e-8)
        assert (found["least_v"], found["most_v"]) == pytest.approx((9.9177928, 11.1358885), rel=1e-7)

    @pytest.mark.parametrize(
        ("given", "pair", "level_v"),
        [
            # eseries 1.2.1, brute force.
            ({"series": "E24"}, (8200, 5100), 10.0011126),
            ({"series": "E12"}, (18_000, 12_000), 10.0415430),
            ({"source_v": "10", "source_ohm": "0", "load_ohm": "", "wanted_v": "3.3"}, (6800, 3300), 3.2673267),
        ],
    )
    def test_pairs_of_preferred_values(self, given, pair, level_v):
        found = results("pair", **given)
        assert (found["series_ohm"], found["shunt_ohm"]) == pair
        assert found["load_v"] == pytest.approx(level_v, rel=1e-7)

    @pytest.mark.parametrize(
        ("series", "wanted", "nearest"),
        # eseries 1.2.1; 4.498 by ratio, where that package goes by difference and gives 4.3.
        [("E12", "5k", 4700), ("E24", "5k", 5100), ("E48", "5k", 5110), ("E96", "5k", 4990), ("E24", "4.498", 4.7)],
    )
    def test_preferred_values(self, series, wanted, nearest):
        assert results("preferred", series=series, wanted=wanted)["nearest"] == nearest

    def test_a_capacitor_is_read_in_its_own_unit(self):
        found = worked("preferred", wanted="5n1", kind="capacitor", series="E12").answer
        assert found.sentence == "Of E12 the nearest is 4.7\u00a0nF, -7.843\u00a0% from what is wanted."

    def test_two_equal_resistors_halve_a_stiff_pulse(self):
        """Common practice, no source."""
        found = worked("halve", source_ohm="0", load_ohm="", source_v="30", each_ohm="10k").answer
        assert "two equal resistors of 10.0\u00a0kΩ halve the pulse. 15\u00a0V arrive." in found.sentence

    def test_and_what_really_happens_where_the_source_is_not_stiff(self):
        found = worked("halve", source_ohm="10k", load_ohm="10k", source_v="30", each_ohm="10k").answer
        assert "the source is not stiff" in found.sentence
        assert "the load is not light" in found.sentence
        assert found.results[0].value == pytest.approx(30 * 5 / 25)

    def test_a_short_pulse_does_not_come_to_its_half(self):
        """Two of 10 k and 100 pF: 15 V would be left, of which 100 ns reach 1 - exp(-1/5), as ngspice has it."""
        given = {"source_ohm": "0", "load_ohm": "", "source_v": "30", "each_ohm": "10k", "load_f": "100p"}
        short, long = (worked("halve", pulse_s=pulse, **given).answer for pulse in ("100 ns", "5 µs"))
        assert short.sentence.endswith("it comes to 2.719\u00a0V only.")
        assert long.sentence.endswith("halve the pulse. 15\u00a0V arrive.")
        figures = {one.key: one.value for one in short.results}
        assert figures["reached_v"] == pytest.approx(2.719, abs=1e-3)
        assert figures["rise_s"] == pytest.approx(2.197225 * 5e3 * 100e-12)

    def test_what_keeps_a_divider_flat(self):
        found = results("flat", series_ohm="10k", shunt_ohm="2k5", shunt_f="100p", source_ohm="0")
        assert found["series_f"] == pytest.approx(25e-12)


class TestBouncing:
    def test_a_coupled_shunt_behind_a_source(self):
        """ngspice 39, mean heat over 10 µs: 31.0 mW in 270 Ω behind 150 Ω through 536 pF."""
        assert results("termination")["coupled_mean_w"] == pytest.approx(31.0e-3, rel=0.01)

    @pytest.mark.parametrize(
        ("given", "load_v"),
        [
            # ngspice 39, to seven digits; lattice arithmetic.
            (
                {"step_v": "10", "source_ohm": "25", "impedance_ohm": "75", "load_ohm": "225"},
                [11.25, 8.4375, 9.140625, 8.96484375, 9.0087890625, 8.997802734],
            ),
            # W. D. Stevenson, Elements of Power System Analysis, example 5.6, and with 10 Ω.
            (
                {"step_v": "120", "source_ohm": "0", "impedance_ohm": "30", "load_ohm": "90"},
                [180, 90, 135, 112.5, 123.75, 118.125],
            ),
            (
                {"step_v": "120", "source_ohm": "0", "impedance_ohm": "30", "load_ohm": "10"},
                [60, 90, 105, 112.5, 116.25, 118.125],
            ),
        ],
    )
    def test_the_lattice(self, given, load_v):
        (table,) = worked("reflection", **given, load_f="", rise_s="0").answer.tables
        assert [row[1] for row in table.rows] == pytest.approx(load_v, rel=1e-8)

    def test_the_peak_at_an_open_end_after_a_ramp(self):
        """ngspice 39: 10 V, 25 Ω, 75 Ω, 10 ns, a ramp of 40 ns: 11.2513 V."""
        found = results(
            "reflection", step_v="10", source_ohm="25", impedance_ohm="75", delay_s="10 ns", rise_s="40 ns",
            load_ohm="1M", load_f="",
        )  # fmt: skip
        assert found["peak_v"] == pytest.approx(11.2513, abs=0.005)

    @pytest.mark.parametrize(
        ("given", "ohm"),
        [
            # scipy's constants and closed forms; scikit-rf for the coaxial one.
            ({"shape": "chassis", "across_m": "10", "diameter_m": "1"}, 221.142138),
            ({"shape": "pair", "across_m": "5", "diameter_m": "1"}, 274.901490),
            ({"shape": "coaxial", "across_m": "2.95", "diameter_m": "0.9", "permittivity": "2.25"}, 47.4537759),
        ],
    )
    def test_impedance(self, given, ohm):
        assert results("wire", **given)["impedance_ohm"] == pytest.approx(ohm, rel=1e-7)

    def test_published_rules_disagree_and_the_page_says_so(self):
        assert "The published rules disagree" in worked("long", length_m="5", rise_s="100 ns").answer.sentence

    def test_a_termination_that_a_small_valve_cannot_drive(self):
        """Common practice, no source: 30 V into 270 Ω is 111 mA."""
        found = results("termination", source_ohm="0", impedance_ohm="270", drive_most_a="20 mA")
        assert found["shunt_peak_a"] == pytest.approx(0.1111, rel=1e-3)


class TestReadings:
    def test_the_true_edge(self):
        """Arithmetic: √(10² − 3.5²) ns; 100 MHz Gaussian is 3.396 ns."""
        found = results("edge", measured_s="10 ns", uncertainty_s="0", scope_hz="100 MHz", probe_hz="")
        assert found["scope_s"] == pytest.approx(3.3962445e-9, rel=1e-7)
        assert found["true_s"] == pytest.approx(math.sqrt(100 - 3.3962445**2) * 1e-9, rel=1e-7)

    def test_a_probe_on_ten_kilohms(self):
        """Common practice, no source: 12 pF on 10 kΩ is 0.26 µs, 100 pF is 2.2 µs."""
        ((_, ten, one),) = (table.rows for table in worked("probe", source_ohm="10k").answer.tables)
        assert (ten[2], one[2]) == pytest.approx((0.263e-6, 2.175e-6), rel=2e-3)

    def test_crosstalk_of_a_loom(self):
        """Common practice, no source: 5 pF a metre, 3 m, 30 V in 0.1 µs, 1 kΩ: 4.5 V."""
        found = results(
            "crosstalk", step_v="30", rise_s="80 ns", shape="straight", length_m="3", mutual_f_per_m="5",
            victim_ohm="1k", victim_f="36p",
        )  # fmt: skip
        assert found["bound_v"] == pytest.approx(4.5, rel=1e-9)


class TestSupply:
    def test_the_wire_and_the_capacitor(self):
        """Common practice, no source: 5 µH, 20 mA in 100 ns is 1 V; 20 mA for 1 µs at 0.1 V is 0.2 µF."""
        noise = results("supply-noise", inductance_h="5 µH", current_a="20 mA", edge_s="100 ns")
        assert noise["bare_v"] == pytest.approx(1.0)
        capacitor = results("decoupling", current_a="20", duration_s="1", dip_v="0,1")
        assert capacitor["needed_f"] == pytest.approx(0.2e-6)

    def test_what_the_capacitors_own_faults_ask_for(self):
        """20 nC a pulse: of 0.1 V they take 14 mV, so 20 nC / 86 mV; where they take all, no capacitance does."""
        asked = {"current_a": "20", "duration_s": "1", "dip_v": "0,1", "edge_s": "100 ns", "own_h": "20 nH"}
        mended = worked("decoupling", own_ohm="0.5", **asked).answer.says[0]
        assert mended.endswith("to keep within 100\u00a0mV with them it takes 232.6\u00a0nF or more, or shorter leads.")
        hopeless = worked("decoupling", own_ohm="6", **asked).answer.says[0]
        assert "alone come to 124\u00a0mV: more capacitance does not mend that" in hopeless

    @pytest.mark.parametrize(
        ("given", "sentence"),
        [
            ({"read_hz": "100", "own_hz": "2.5 kHz"}, "100 Hz is hum: the mains × 2."),
            ({"read_hz": "120", "mains_hz": "60", "own_hz": "2.5 kHz"}, "120 Hz is hum: the mains × 2."),
            (
                {"read_hz": "5 kHz", "own_hz": "2.5 kHz", "record_s": "1"},
                "5 kHz is ripple that the machine makes itself: the own rate × 2.",
            ),
            (
                {"read_hz": "101", "own_hz": "104", "record_s": "0.2"},
                "101 Hz may be either: the mains × 2, the own rate × 1. "
                "A longer record tells them apart, unless they coincide.",
            ),
            ({"read_hz": "777", "record_s": "1"}, "777 Hz keeps neither rate: look for a third source."),
        ],
    )
    def test_hum_or_own_ripple(self, given, sentence):
        assert worked("hum", **given).answer.sentence.replace("\u00a0", " ") == sentence

    def test_own_ripple_that_folds_onto_the_mains_is_not_told_apart(self):
        found = worked("hum", own_hz="10050", interval_s="1 ms", record_s="1", harmonics="1").answer
        assert [row[-1] for row in found.tables[0].rows] == ["no", "no"]


class TestCoils:
    def test_a_coil_wound_by_its_block(self):
        """Sum over 24 × 24 of Maxwell's loops: 3165.81 µH, good to 1e-4; Wheeler 3149.606."""
        found = results("coil-layers", turns="500", former_m="10", length_m="10", depth_m="10")
        assert found["inductance_h"] == pytest.approx(3165.81e-6, rel=3e-4)
        assert found["wheeler_h"] == pytest.approx(3149.606e-6, rel=1e-6)

    def test_a_damped_coil(self):
        """Closed form, and ngspice 39: peak ratio 1.369643."""
        found = results("coil-damped", body_ohm="10k", winding_ohm="0", inductance_h="100", capacitance_f="100")
        assert found["q"] == pytest.approx(10.0)
        assert found["critical_ohm"] == pytest.approx(500.0)
        assert found["period_ratio"] == pytest.approx(1.36964653, rel=1e-7)

    def test_the_resistance_of_a_winding(self):
        """IEC 60028 by arithmetic: 100 turns of AWG 26 on 25 mm, 7.85398 m, 1.0517 Ω; at 75 °C 1.21615 times that."""
        found = results("copper", wire="AWG 26", turns="100", diameter_m="25", temperature_c="75")
        assert found["length_m"] == pytest.approx(7.85398, rel=1e-6)
        assert found["cold_ohm"] == pytest.approx(1.0517, rel=1e-4)
        assert found["factor"] == pytest.approx(1.21615, rel=1e-9)

    @pytest.mark.parametrize(
        ("wire", "millimetres", "ohm_per_m"),
        # Diameters: simetric.co.uk/siwire.htm and engineeringtoolbox.com; ohms by arithmetic from IEC 60028.
        [("26 SWG", 0.4572, None), ("20 SWG", 0.9144, 0.026255), ("AWG 26", 0.40490, 0.1339072)],
    )
    def test_wire_by_its_gauge(self, wire, millimetres, ohm_per_m):
        found = results("wire-table", wire=wire, covering="bare", temperature_c="20")
        assert found["bare_m"] == pytest.approx(millimetres * 1e-3, rel=2e-4)
        if ohm_per_m:
            assert found["ohm_per_m"] == pytest.approx(ohm_per_m, rel=1e-4)

    def test_what_cannot_be_wound_is_refused_in_a_sentence(self):
        one = sums()["turns"]
        found = work(one, one.example | {"length_m": "40"})
        (sentence,) = found.sentences
        assert sentence.startswith("100 µH takes 97 turns in one layer")
