"""The story so far hangs together, and with the plan."""

from collections import defaultdict
from datetime import date, timedelta
from itertools import pairwise

import pytest

from restoration.kestrel.captures import figures_by_hand, states_of
from restoration.kestrel.cast import BY_SHORT_NAME, who_may
from restoration.kestrel.link_physics import figures_of, well_within
from restoration.kestrel.machine_plan import machine_plan
from restoration.kestrel.site_days import LAST_DAY, RACK_PEOPLE
from restoration.kestrel.story import story
from restoration.kestrel.story_records import (
    BenchStory,
    ColdCheckStory,
    FittingStory,
    PhotoStory,
    ReceivingStory,
    StepStory,
    WithdrawalStory,
)

PLAN, STORY = machine_plan(), story()
LINKS = {link.code: link for link in PLAN.interconnects}
CHECKS = {check.number: check for check in STORY.checks()}


def signal_of(code):
    return PLAN.signal_by_name[LINKS[code].signal]


def slots_of(code):
    return {end.split("/")[0] for end in (LINKS[code].source, *LINKS[code].loads)}


def spans_in_slots():
    """Slot by slot, when a chassis was in it: serial, from, until (None: still)."""
    spans = defaultdict(list)
    for unit in STORY.chassis:
        begun = None
        for event in unit.events:
            if isinstance(event, FittingStory):
                begun = event
            elif isinstance(event, WithdrawalStory):
                spans[event.slot].append((unit.serial, begun.at, event.at))
                begun = None
        if begun:
            spans[begun.slot].append((unit.serial, begun.at, None))
    return spans


SPANS = spans_in_slots()


def limits_hold(value, limits):
    return (limits.least is None or value >= limits.least) and (limits.most is None or value <= limits.most)


def test_the_same_story_is_told_every_time():
    assert story.__wrapped__() == STORY


def test_it_is_half_a_machine():
    counts = {
        "fitted": sum(unit.fitted_in is not None for unit in STORY.chassis),
        "joined": sum(bool(link.joinings) for link in STORY.links),
        "rung out": sum(any(ring.result == "passed" for ring in link.ring_outs) for link in STORY.links),
        "checks": len(CHECKS),
        "captured": sum(check.captured for check in CHECKS.values()),
        "faults": len(STORY.faults),
    }
    assert counts["fitted"] == 60
    assert 470 <= counts["joined"] <= 530
    assert 420 <= counts["rung out"] <= 480
    assert 330 <= counts["checks"] <= 390
    assert 35 <= counts["captured"] <= 50
    assert counts["faults"] == 25


def test_rack_j_is_empty_and_rack_c_half():
    fitted = [unit.fitted_in[0] for unit in STORY.chassis if unit.fitted_in]
    assert {rack: fitted.count(rack) for rack in "ABCJ"} == {"A": 11, "B": 13, "C": 6, "J": 0}


class TestChassis:
    @pytest.mark.parametrize("unit", STORY.chassis, ids=lambda unit: unit.serial)
    def test_its_events_follow_each_other(self, unit):
        times = [event.at for event in unit.events]
        assert times == sorted(times)
        assert date(2025, 1, 1) <= times[0].date() <= times[-1].date() <= LAST_DAY
        assert all(moment.tzinfo is not None for moment in times)

    @pytest.mark.parametrize("unit", STORY.chassis, ids=lambda unit: unit.serial)
    def test_it_is_built_to_an_issue_there_was_and_fits_its_slot(self, unit):
        design = PLAN.design_by_number[unit.design_number]
        issued = {issue.letter: issue.issued for issue in design.issues}
        assert issued[unit.issue] <= unit.events[0].at.date()
        for event in unit.events:
            if isinstance(event, FittingStory):
                assert PLAN.slot_by_code[event.slot].design_number == unit.design_number
                assert (event.slot_label_read, event.chassis_label_read) == (event.slot, unit.serial)

    def test_serials_are_used_once(self):
        assert len({unit.serial for unit in STORY.chassis}) == len(STORY.chassis)

    def test_only_one_is_in_a_slot_at_a_time(self):
        for spans in SPANS.values():
            ordered = sorted(spans, key=lambda span: span[1])
            for (_, _, out), (_, into, _) in pairwise(ordered):
                assert out is not None
                assert out < into

    def test_nobody_is_their_own_witness(self):
        for unit in STORY.chassis:
            for event in unit.events:
                if hasattr(event, "second"):
                    assert event.by != event.second
                if isinstance(event, ColdCheckStory):
                    assert unit.builder not in (event.by, event.second)

    def test_everyone_exists_and_site_work_is_done_by_site_people(self):
        able = {*who_may("tester"), *who_may("site lead")}
        assert set(RACK_PEOPLE) <= able
        for unit in STORY.chassis:
            assert "builder" in BY_SHORT_NAME[unit.builder].roles
            for event in unit.events:
                assert event.by in BY_SHORT_NAME
                if not isinstance(event, StepStory | PhotoStory):
                    assert event.by in able
                    assert not hasattr(event, "second") or event.second in able

    def test_what_those_without_mail_did_is_entered_by_another(self):
        entered = {
            (event.by, event.entered_by)
            for unit in STORY.chassis
            for event in unit.events
            if isinstance(event, StepStory | PhotoStory)
        }
        assert {pair for pair in entered if pair[0] != pair[1]} == {("Walter", "Hetty"), ("Edie", "Hetty")}

    def test_nothing_is_fitted_that_was_not_received_checked_cold_and_passed_on_the_bench(self):
        for unit in STORY.chassis:
            seen = set()
            for event in unit.events:
                if isinstance(event, FittingStory):
                    assert {ReceivingStory, ColdCheckStory, BenchStory} <= seen
                if getattr(event, "result", "passed") == "passed":
                    seen.add(type(event))

    def test_bench_readings_agree_with_the_verdict(self):
        for unit in STORY.chassis:
            design = PLAN.design_by_number[unit.design_number]
            for test in (event for event in unit.events if isinstance(event, BenchStory)):
                out = [reading for reading in test.readings if not self.is_inside(design, reading)]
                assert len(out) == (1 if test.result == "failed" else 0), (unit.serial, out)

    @staticmethod
    def is_inside(design, reading):
        if reading.quantity == "dc_level":
            (point,) = (point for point in design.dc_points if point.name == reading.place)
            return abs(reading.value - point.nominal_v) <= point.tolerance_v
        (pulse,) = (pulse for pulse in design.bench_pulses if pulse.terminal == reading.place)
        field = "amplitude_v" if reading.quantity == "amplitude" else f"{reading.quantity}_s"
        return limits_hold(reading.value, getattr(pulse, field))

    def test_the_high_summing_register_is_built_and_still_with_pilar(self):
        (unit,) = (unit for unit in STORY.chassis if unit.serial == "SR-14")
        steps = [event.kind for event in unit.events if isinstance(event, StepStory)]
        assert (unit.builder, unit.meant_for, unit.issue, steps[-1]) == ("Pilar", "C-07", "D", "built")


class TestLinks:
    def test_there_is_one_story_for_each_interconnect(self):
        assert [link.code for link in STORY.links] == [link.code for link in PLAN.interconnects]

    def test_joined_then_rung_out_then_looked_at(self):
        for link in STORY.links:
            if link.ring_outs:
                assert link.joinings[0].at <= link.ring_outs[0].at
                assert link.ring_outs[-1].result == "passed"
            if link.checks:
                assert link.ring_outs[0].at < link.checks[0].at
            for records in (link.joinings, link.ring_outs, link.checks):
                times = [record.at for record in records]
                assert times == sorted(times)
                assert all(record.by != record.second for record in records)
                assert all(record.at.date() <= LAST_DAY for record in records)

    def test_the_loft_is_open_on_wednesdays_and_sundays(self):
        days = {
            record.at.weekday() for link in STORY.links for record in (*link.joinings, *link.ring_outs, *link.checks)
        }
        assert days == {2, 6}

    def test_a_signal_is_looked_at_only_with_a_chassis_at_every_end(self):
        for check in CHECKS.values():
            for slot in slots_of(check.interconnect):
                assert any(into < check.at and (out is None or check.at < out) for _, into, out in SPANS[slot]), (
                    check.interconnect,
                    slot,
                    check.at,
                )

    def test_checks_are_numbered_in_the_order_of_their_dates(self):
        ordered = [CHECKS[number].at for number in range(1, len(CHECKS) + 1)]
        assert ordered == sorted(ordered)

    def test_expected_verdicts_agree_with_the_physics(self):
        """A pass has a twentieth to spare at the load and is inside at the source; a failure is plainly out."""
        for check in CHECKS.values():
            signal = signal_of(check.interconnect)
            *_, (_, final) = states_of(check)
            inside = well_within(figures_of(final), signal)
            assert inside == (check.expected in ("within", "unclear")), (check.interconnect, figures_of(final))

    def test_source_ends_are_inside_the_limits_too(self):
        for check in CHECKS.values():
            if "source" in check.ends:
                signal, figures = signal_of(check.interconnect), figures_of(check.found, "source")
                assert limits_hold(figures.amplitude_v, signal.amplitude_v)
                assert limits_hold(figures.rise_time_s, signal.rise_time_s)
                assert limits_hold(figures.overshoot, signal.overshoot)

    def test_what_was_changed_is_said_and_was_needed(self):
        changed = [check for check in CHECKS.values() if check.left]
        assert len(changed) >= 20
        for check in changed:
            assert "Ω in series at" in check.parts_changed
            assert not well_within(figures_of(check.found), signal_of(check.interconnect))

    def test_figures_by_hand_cover_every_end_and_stage(self):
        check = next(check for check in CHECKS.values() if check.left)
        assert set(figures_by_hand(check)) == {("load", "found"), ("load", "left")}


class TestFaults:
    def test_they_are_numbered_by_date_and_each_has_its_own_link(self):
        seen = [fault.episodes[0].seen_at for fault in STORY.faults]
        assert seen == sorted(seen)
        assert [fault.number for fault in STORY.faults] == list(range(1, 26))
        assert len({fault.interconnect for fault in STORY.faults}) == 25

    @pytest.mark.parametrize("fault", STORY.faults, ids=lambda fault: str(fault.number))
    def test_its_times_follow_each_other(self, fault):
        last = None
        for episode in fault.episodes:
            times = [episode.seen_at, *(attempt.at for attempt in episode.attempts)]
            times += [episode.closed_at] if episode.closed_at else []
            assert times == sorted(times)
            assert last is None or episode.seen_at > last
            assert episode.closed_at is not None or episode is fault.episodes[-1]
            last = episode.closed_at
        assert times[-1].date() <= LAST_DAY

    @pytest.mark.parametrize("fault", STORY.faults, ids=lambda fault: str(fault.number))
    def test_a_cure_has_cause_and_proof(self, fault):
        for episode in fault.episodes:
            assert (episode.outcome == "cured") == bool(episode.cause and episode.cure and episode.proof_check)
            assert bool(episode.outcome) == bool(episode.closed_by)
            if episode.proof_check:
                proof = CHECKS[episode.proof_check]
                assert proof.interconnect == fault.interconnect
                assert proof.expected == "within"
                assert episode.seen_at < proof.at < episode.closed_at

    def test_a_fault_from_a_check_follows_one_that_failed(self):
        for fault in STORY.faults:
            if fault.from_check:
                check = CHECKS[fault.from_check]
                assert (check.interconnect, check.expected) == (fault.interconnect, "outside")
                assert check.at < fault.episodes[0].seen_at

    def test_some_came_back_some_are_open_and_time_was_lost(self):
        assert sum(len(fault.episodes) > 1 for fault in STORY.faults) >= 4
        assert 3 <= sum(fault.is_open for fault in STORY.faults) <= 6
        assert timedelta(minutes=sum(fault.minutes_lost for fault in STORY.faults)) > timedelta(hours=20)
