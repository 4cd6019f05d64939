"""Proposals as people get them: figures, parts, others, words, and what is said when nothing does."""

from dataclasses import replace

import pytest

from restoration.engineering.in_place import Arrangement, Fitted, predict
from restoration.engineering.in_place.proposals import PartOffer, propose, weigh_up
from restoration.engineering.limits import Limit, Quantity
from restoration.engineering.link_model import LinkLoad, PulseSource
from restoration.engineering.preferred_values import values_between
from tests.engineering.in_place.proposals.making import LIMITS, capacitor, link, resistor

E12 = tuple(resistor(ohm, 0.05, rating_w=1.0) for ohm in values_between("E12", 10.0, 100e3))


class TestOneProposal:
    case = link(others=2, drive_most_a=0.15)
    found = propose(case, LIMITS, E12)[0]

    def test_it_is_the_complete_arrangement(self):
        assert self.found.arrangement == Arrangement(series_ohm=180.0)
        assert self.found.kind == "series damper"
        assert self.found.removed == ()

    def test_before_and_after_are_predictions_at_both_ends(self):
        assert self.found.before.load == predict(self.case).load
        assert self.found.after.source == predict(replace(self.case, arrangement=self.found.arrangement)).source
        assert self.found.before.load.overshoot > 0.5
        assert self.found.after.load.overshoot < 0.1

    def test_its_part_has_watts_and_volts(self):
        (part,) = self.found.parts
        assert (part.role, part.offer.value) == ("series_ohm", 180.0)
        assert 0.0 < part.watts < 0.5 * part.offer.rating_w
        assert part.volts == pytest.approx(20.0 * 180.0 / 220.0)
        assert part.fitted.words == "180\u00a0Ω in series at the source"

    def test_the_share_of_the_drive(self):
        assert self.found.drive_share == pytest.approx(self.found.after.peak_drive_a / 0.15)

    def test_every_other_load_is_told_of(self):
        assert [other.code for other in self.found.others] == ["T-0", "T-1"]
        for other, there in zip(self.found.others, self.case.others, strict=True):
            after = replace(self.case, arrangement=self.found.arrangement).seen_from(there)
            assert other.after.load.amplitude_v == pytest.approx(predict(after).load.amplitude_v, rel=1e-3)
            assert other.newly == ()
            assert other.words.startswith(f"{other.code}: amplitude 20.0\u00a0V before, 20.0\u00a0V after; rise time ")

    def test_it_meets_its_limits_also_in_the_worst_case(self):
        assert (self.found.met, self.found.met_at_worst, self.found.missed) == (True, True, ())
        assert self.found.amplitude_low_v < self.found.after.load.amplitude_v < self.found.amplitude_high_v

    def test_why_in_whole_sentences(self):
        why = self.found.why
        assert why[0].startswith("The amplitude at the load goes from 20.0\u00a0V to 19.9\u00a0V, the overshoot from 6")
        assert why[1:] == (
            "It meets every limit with something to spare.",
            "Over the tolerances of the parts the amplitude lies between 19.94\u00a0V and 19.94\u00a0V, inside its "
            "limits.",
            "One part: 180\u00a0Ω ±5\u00a0% from stores.",
            "No other load of the source misses a limit that it meets now.",
            why[5],
        )
        assert why[5].endswith("of the most it can give.")

    def test_what_to_check_afterwards(self):
        words = self.found.check_afterwards
        assert (
            words[0]
            == "Measure the pulse at this load and at its source, with everything joined and the neighbours running."
        )
        assert words[1:3] == (
            "Measure the pulse at the load of T-0, which hangs on the same source.",
            "Measure the pulse at the load of T-1, which hangs on the same source.",
        )
        assert words[3].startswith(
            "After an hour's run take the temperature of the 180\u00a0Ω in series at the source without touching it; "
            "it is reckoned to get "
        )
        assert words[-1].startswith("Look at the supply of the driving chassis")

    def test_how_it_is_undone(self):
        assert self.found.undone_how == (
            "Take the 180\u00a0Ω out of the wire at the source terminal and join the wire there again. No hole is "
            "drilled and no lead of an original part is cut."
        )


class TestPartsThatAreThere:
    now = Arrangement(shunt_ohm=82.0)

    def test_what_is_put_back_when_it_is_undone(self):
        found = weigh_up(link(arrangement=self.now), LIMITS, E12)
        best = found.proposals[0]
        assert not found.as_it_is.met
        assert best.removed == (Fitted("shunt_ohm", "resistor", 82.0),)
        assert best.undone_how.endswith(
            "put the 82.0\u00a0Ω back from the load terminal to earth. No hole is drilled and no lead of an original "
            "part is cut. Keep what comes off, labelled with this wire."
        )

    def test_taking_off_alone_can_be_the_best(self):
        case = link(
            source_ohm=470.0, edge_s=30e-9, arrangement=self.now, load=replace(link().load, capacitance_f=5e-12)
        )
        best = propose(case, {Quantity.AMPLITUDE: Limit(18.0, 20.0, 22.0)}, E12)[0]
        assert best.arrangement == Arrangement()
        assert best.parts == ()
        assert "No part is needed." in best.why

    def test_what_stays_is_on_the_wire_already(self):
        case = link(33.0, arrangement=Arrangement(shunt_ohm=1500.0))
        with_old = [one for one in propose(case, LIMITS, [resistor(820)]) if one.arrangement.shunt_ohm == 1500.0]
        (old,) = (part for part in with_old[0].parts if part.role == "shunt_ohm")
        assert old.offer.origin == "already on the wire"
        assert with_old[0].removed == ()


class TestTheWhole:
    def test_a_link_that_is_right_is_left_alone(self):
        found = weigh_up(link(source_ohm=280.0), LIMITS, E12)
        assert found.as_it_is.met
        assert found.as_it_is.words == "As it is, the link meets its limits."
        assert found.proposals == ()
        assert (
            "Nothing needs to be fitted; no arrangement would be better than leaving the link as it is." in found.words
        )

    def test_nothing_on_offer(self):
        found = weigh_up(link(), LIMITS, [])
        assert found.proposals == ()
        assert "No part is on offer, neither from stores nor of preferred values." in found.words
        assert found.words[-1].startswith("None of 0 arrangements is better than leaving the link as it is.")

    def test_a_pulse_too_low_cannot_be_mended_by_parts(self):
        found = weigh_up(link(10.0, 280.0), LIMITS, E12)
        assert found.proposals == ()
        assert found.as_it_is.missed == (
            "The amplitude at the load would be 9.97\u00a0V, under the least allowed, 17.0\u00a0V.",
        )
        assert found.words[-1].endswith(
            "What is missed has to be cured elsewhere: at the source, by another wire, or by other parts on offer."
        )

    def test_the_best_that_can_be_done_where_nothing_meets_every_limit(self):
        limits = {**LIMITS, Quantity.RISE_TIME: Limit(most=20e-9)}
        found = weigh_up(link(), limits, E12)
        best = found.proposals[0]
        assert not best.met
        assert [words.split(" would be ")[0] for words in best.missed] == ["The rise time at the load"]
        assert f"The best that can be done is {best.kind}: {best.arrangement.words}." in found.words[-1]
        assert best.why[1].startswith("It is better than leaving the link as it is, and still misses: The rise time")

    def test_without_limits_what_is_there_is_kept_and_that_is_said(self):
        found = weigh_up(link(), {}, E12)
        assert found.proposals == ()
        assert found.words[0].startswith(
            "Neither a limit nor a nominal amplitude is given; what is predicted now, 20.0"
        )
        assert found.as_it_is.words == "There is no limit to judge the link by."

    def test_a_negative_pulse_is_treated_as_its_mirror(self):
        up, down = propose(link(33.0), LIMITS, E12), weigh_up(link(-33.0), LIMITS, E12)
        assert down.proposals[0].arrangement.words == up[0].arrangement.words
        assert down.proposals[0].after.load.low_level_v < 0.0
        assert down.words[-2].startswith("The pulse goes negative: its rise time is that of the trailing edge")

    def test_what_is_not_known_is_said(self):
        words = weigh_up(link(period_s=None), LIMITS, E12).words
        assert "What the source can give is not known; nothing is left out for asking too much of it." in words
        assert any(sentence.startswith("How often the pulse comes is not known; watts are") for sentence in words)

    def test_how_other_wires_are_treated_is_said(self):
        sentence = (
            "Each other wire of the source is reckoned as a line of its own, with this wire and the rest beside it "
            "as a resistance beside a capacitance on the source terminal."
        )
        assert sentence in weigh_up(link(others=1), LIMITS, E12).words
        assert sentence not in weigh_up(link(), LIMITS, E12).words

    def test_long_other_wires_are_said_to_leave_it_open(self):
        found = weigh_up(link(others=3, edge_s=30e-9), LIMITS, E12).words
        assert any(
            words.startswith("They are long beside the edge: while it passes, what is reckoned") for words in found
        )
        assert not any("They are long" in words for words in weigh_up(link(others=1, edge_s=3e-7), LIMITS, E12).words)

    def test_what_a_grid_stopper_keeps_back_bars_nothing(self):
        """4.7 kΩ and 60 pF take longer than a fifth of the pulse to settle, whatever is fitted before them."""
        source = PulseSource(0.0, 40.0, 1e-6, 5e-8, 5e-8, 100.0, period_s=10e-6)
        case = replace(
            link(load=LinkLoad(470e3, 60e-12, grid_stopper_ohm=4700.0), length_m=5.0, drive_most_a=0.1), source=source
        )
        limits = {Quantity.AMPLITUDE: Limit(18.0, 20.0, 22.0), Quantity.OVERSHOOT: Limit(most=0.1)}
        best = propose(case, limits, E12)[0]
        assert (best.kind, best.met) == ("series damper with shunt", True)
        assert predict(replace(case, arrangement=best.arrangement)).load.overshoot <= 0.1

    def test_an_unrated_part_is_to_be_rated_first(self):
        best = propose(link(), LIMITS, [resistor(220)])[0]
        assert any(
            words.startswith("Nobody has written down a rating for the 220\u00a0Ω in series at the source")
            for words in best.check_afterwards
        )

    def test_quantities_may_be_given_by_name(self):
        by_name = {quantity.value: limit for quantity, limit in LIMITS.items()}
        assert propose(link(), by_name, E12) != ()


class TestRefusals:
    @pytest.mark.parametrize(
        ("given", "sentence"),
        [
            ({"count": 0}, "At least one proposal has to be asked for; 0 were."),
            ({"derating": 0.0}, "A derating is a part of the rating, above 0 and up to 1; 0.0 was given."),
            ({"spare": 0.7}, "Limits are drawn in by 0 to less than a half of them; 0.7 was given."),
            ({"spare": float("nan")}, "Limits are drawn in by 0 to less than a half of them; nan was given."),
        ],
    )
    def test_of_how_to_propose(self, given, sentence):
        with pytest.raises(ValueError) as refusal:
            propose(link(), LIMITS, E12, **given)
        assert str(refusal.value) == sentence

    @pytest.mark.parametrize(
        ("given", "sentence"),
        [
            (("coil", 1.0, 0.1), "A part on offer is a resistor or a capacitor; “coil” was given."),
            (("resistor", 0.0, 0.1), "value must be more than zero; 0.0 was given."),
            (("resistor", float("inf"), 0.1), "value must be a finite number; inf was given."),
            (("resistor", float("nan"), 0.1), "value must be more than zero; nan was given."),
            (("resistor", 1.0, 1.0), "A tolerance is a part of the value, from 0 to less than 1; 1.0 was given."),
            (("resistor", 1.0, 0.1, 0.0), "rating_w must be more than zero and finite, or left out; 0.0 was given."),
            (
                ("resistor", 1.0, 0.1, None, None, -1),
                "There cannot be -1 of a part; the quantity is zero or more, or left out.",
            ),
        ],
    )
    def test_of_an_offer(self, given, sentence):
        with pytest.raises(ValueError) as refusal:
            PartOffer(*given)
        assert str(refusal.value) == sentence


def test_a_capacitor_keeps_a_divider_flat():
    """Weak enough to need R1 and R2 high, so that the grid's capacitance rounds the edge without one across R1."""
    limits = {Quantity.AMPLITUDE: Limit(9.5, 10.0, 10.5), Quantity.RISE_TIME: Limit(most=120e-9)}
    case = link(20.0, 280.0, drive_most_a=0.05, load=replace(link().load, resistance_ohm=1e6, capacitance_f=60e-12))
    best = propose(case, limits, [resistor(4700, 0.01), capacitor(56e-12), capacitor(120e-12)])[0]
    assert best.kind == "divider kept flat"
    assert best.arrangement == Arrangement(attenuator_ohm=4700.0, attenuator_f=56e-12, shunt_ohm=4700.0)
