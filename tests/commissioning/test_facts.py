"""What each fact does to the standing of a wire or a chassis, worked out by hand from the rules of doubt."""

from datetime import date

import pytest

from restoration.commissioning.facts import chassis_histories, link_histories
from restoration.commissioning.gates import RECORDED_OF
from restoration.engineering.standing import all_standings
from restoration.faults.models import Fault
from restoration.machine.models import WiringChange
from restoration.proving.models import Concession, SignalReading
from tests.commissioning.records import (
    bench,
    check,
    cold,
    fault,
    heading,
    join,
    make_fit,
    may,
    pair,
    power_up,
    prove,
    receive,
    rewire,
    ring,
    standings,
    step,
)
from tests.factories import make_chassis, make_fitting, make_link, make_signal, make_slot

GATES = ("allotted", "built", "received", "cold-checked", "bench-tested", "fitted")
pytestmark = pytest.mark.django_db


@pytest.fixture
def link():
    return make_link("B-05:7", "C-04:2", code="214")


@pytest.fixture
def sibling():
    return make_link("B-05:7", "D-02:4", code="215")


def states(link):
    return {gate: state for gate, (state, _) in standings(link).items()}


def test_a_proved_wire_passes_every_gate_and_says_by_whom(link):
    prove(link)
    assert standings(link) == {
        "joined": ("passed", "Joined by Ama on 1 May 2026, viewed by Tomasz."),
        "rung out": ("passed", f"Ring-out {link.ring_outs.get().pk} by Ama on 1 May 2026: passed."),
        "signal-checked": ("passed", f"Signal check {link.signal_checks.get().pk} by Ama on 1 May 2026: passed."),
    }


@pytest.mark.parametrize("result", ["too close to call", "cannot tell"])
def test_a_check_that_cannot_decide_is_in_hand(link, result):
    check(link, 1, result)
    assert states(link)["signal-checked"] == "in hand"


def test_a_concession_carries_its_reason(link):
    failed = check(link, 1, "failed")
    Concession.objects.create(signal_check=failed, reason="overshoot 11 %, harmless here", given_by=pair()[0])
    state, reason = standings(link)["signal-checked"]
    assert state == "on concession"
    assert reason.endswith("failed; accepted on concession: overshoot 11 %, harmless here")


def test_a_concession_that_ran_out_leaves_the_gate_in_doubt(link):
    failed = check(link, 1, "failed")
    Concession.objects.create(
        signal_check=failed, reason="until the new coil is wound", given_by=pair()[0], until=date(2026, 5, 9)
    )
    before = link_histories([link.pk], now=may(9))[link.pk]
    after = link_histories([link.pk], now=may(10))[link.pk]
    good, doubted = (all_standings(["signal-checked"], h.evidence, h.changes)[0] for h in (before, after))
    assert good.state.value == "on concession"
    assert good.reasons[0].endswith("accepted on concession until 9 May 2026: until the new coil is wound")
    assert doubted.state.value == "in doubt"
    assert doubted.reasons[0] == f"The concession on signal check {failed.pk} ran out on 9 May 2026 (rule 56)."


def test_withdrawing_a_chassis_doubts_ring_out_and_check_but_not_the_joint(link):
    prove(link, 2)
    doer = pair()[0]
    make_fitting(make_chassis("SR-11"), link.load.slot, fitted_by=doer, at=may(1), removed_at=may(3), removed_by=doer)
    why = "Chassis SR-11 was withdrawn from slot C-04 on 3 May 2026 (rule 47)."
    assert standings(link)["joined"][0] == "passed"
    assert standings(link)["rung out"] == ("in doubt", why)
    assert standings(link)["signal-checked"] == ("in doubt", why)


def test_the_first_chassis_in_a_slot_doubts_a_check_made_without_it_but_no_ring_out(link):
    prove(link, 1)
    make_fitting(make_chassis("SR-11"), link.load.slot, fitted_by=pair()[0], at=may(3))
    assert states(link) == {"joined": "passed", "rung out": "passed", "signal-checked": "in doubt"}


def test_what_was_recorded_before_the_joint_is_in_doubt(link):
    ring(link, 1)
    check(link, 1)
    join(link, 2)
    assert states(link) == {"joined": "passed", "rung out": "in doubt", "signal-checked": "in doubt"}


def test_a_load_lifted_from_the_source_doubts_the_others_too(link, sibling):
    join(sibling, 1)
    prove(link, 2)
    join(sibling, 3, "lifted", "coil burnt")
    assert standings(link)["signal-checked"] == (
        "in doubt",
        "Link 215 on the same source was lifted on 3 May 2026 (rule 19).",
    )


def test_a_load_that_the_wire_list_took_off_the_source_doubts_the_others(link, sibling):
    prove(link, 2)
    WiringChange.objects.create(
        interconnect=sibling, changed_at=may(3), fields={"source": ["B-05:7", "C-06:9"]}, touches_wire=True
    )
    assert standings(link)["signal-checked"] == (
        "in doubt",
        "Link 215 was taken off the same source on 3 May 2026 (rule 53).",
    )


def test_another_signal_doubts_the_check_only(link):
    prove(link, 1)
    WiringChange.objects.create(
        interconnect=link, changed_at=may(2), fields={"signal": ["digit pulse", "dash pulse"]}, touches_wire=False
    )
    assert states(link) == {"joined": "passed", "rung out": "passed", "signal-checked": "in doubt"}


def test_a_check_judged_by_other_limits_than_todays_is_in_doubt_until_the_next():
    link = make_link(code="9", signal=make_signal("tide clock", amplitude=(15, None, 20)))
    judged = check(link, 1)
    SignalReading.objects.create(
        check_made=judged,
        end="load",
        stage="found",
        quantity="amplitude",
        value=17,
        least=15,
        most=20,
        verdict="within",
    )
    assert states(link)["signal-checked"] == "passed"
    link.signal.limits.update(least=20, most=25)
    assert standings(link)["signal-checked"] == (
        "in doubt",
        "The limits of its signal are other than those it was judged by (rule 54).",
    )
    again = check(link, 2)
    SignalReading.objects.create(
        check_made=again, end="load", stage="found", quantity="amplitude", value=22, least=20, most=25, verdict="within"
    )
    assert states(link)["signal-checked"] == "passed"


def test_a_concession_that_ran_out_on_an_older_check_doubts_no_newer_one(link):
    failed = check(link, 1, "failed")
    Concession.objects.create(signal_check=failed, reason="for now", given_by=pair()[0], until=date(2026, 5, 9))
    check(link, 3)
    assert states(link)["signal-checked"] == "passed"


def test_a_corrected_record_takes_its_doubts_back(link, sibling):
    prove(link, 1)
    wrong = check(sibling, 2, parts_changed="330 ohm in series")
    check(sibling, 2, replaces=wrong, replaces_why="written down at the wrong link")
    assert states(link)["signal-checked"] == "passed"


def test_a_fault_that_a_check_found_leaves_a_concession_on_that_check(link):
    failed = check(link, 2, "failed")
    doer = pair()[0]
    Fault.objects.create(
        interconnect=link, symptom="too large", seen_by=doer, entered_by=doer, opened_at=may(3), from_check=failed
    )
    assert states(link)["signal-checked"] == "failed"
    Concession.objects.create(signal_check=failed, reason="harmless here", given_by=doer)
    assert states(link)["signal-checked"] == "on concession"


def test_the_next_chassis_in_a_slot_doubts_what_was_proved_between(link):
    doer = pair()[0]
    make_fitting(make_chassis("SR-11"), link.load.slot, fitted_by=doer, at=may(1), removed_at=may(3), removed_by=doer)
    ring(link, 4)
    make_fitting(make_chassis("SR-14"), link.load.slot, fitted_by=doer, at=may(5))
    assert standings(link)["rung out"] == (
        "in doubt",
        "Chassis SR-14 was fitted in slot C-04 on 5 May 2026, which had been emptied before (rule 45).",
    )


def test_a_wire_lifted_is_withdrawn_and_its_proof_in_doubt(link):
    prove(link, 1)
    join(link, 2, "lifted", "to hunt fault 57")
    assert standings(link)["joined"] == ("withdrawn", "Lifted by Ama on 2 May 2026: to hunt fault 57")
    assert states(link)["rung out"] == states(link)["signal-checked"] == "in doubt"


def test_a_wire_made_again_must_be_rung_out_and_checked_again(link):
    prove(link, 1)
    join(link, 2, "re-made")
    assert states(link) == {"joined": "passed", "rung out": "in doubt", "signal-checked": "in doubt"}


def test_a_load_joined_to_the_same_source_doubts_the_check_only(link, sibling):
    prove(link, 1)
    join(sibling, 2)
    assert standings(link)["signal-checked"] == (
        "in doubt",
        "Link 215 on the same source was joined on 2 May 2026 (rule 19).",
    )
    assert states(link)["rung out"] == "passed"


def test_a_part_changed_at_one_load_doubts_the_others_and_not_itself(link, sibling):
    prove(link, 1)
    join(sibling, 1)
    check(sibling, 2, parts_changed="330 ohm in series at the source")
    assert standings(link)["signal-checked"] == (
        "in doubt",
        "Parts changed at link 215 on the same source on 2 May 2026: 330 ohm in series at the source (rule 22).",
    )
    assert states(sibling)["signal-checked"] == "passed"


def test_another_source_is_left_alone(link):
    elsewhere = make_link("A-01:3", "D-02:5", code="9")
    prove(link, 1)
    join(elsewhere, 2)
    assert states(link)["signal-checked"] == "passed"


@pytest.mark.parametrize(
    ("fields", "expected"),
    [
        (("load", "length_m"), {"joined": "in doubt", "rung out": "in doubt", "signal-checked": "in doubt"}),
        (("length_m",), {"joined": "passed", "rung out": "in doubt", "signal-checked": "in doubt"}),
    ],
)
def test_the_wire_list_changed_a_wire(link, fields, expected):
    prove(link, 1)
    rewire(link, 2, *fields)
    assert states(link) == expected


def test_a_fault_doubts_the_check_until_one_passes_after_it(link):
    prove(link, 1)
    logged = fault(link, 2)
    assert standings(link)["signal-checked"] == (
        "in doubt",
        f"Fault {logged.pk} was logged on it on 2 May 2026 (rule 55).",
    )
    check(link, 3)
    assert states(link)["signal-checked"] == "passed"


def test_a_corrected_record_no_longer_counts(link):
    wrong = ring(link, 2, "failed")
    ring(link, 1, replaces=wrong, replaces_why="read off the wrong meter scale")
    assert states(link)["rung out"] == "passed"


def chassis_states(chassis):
    history = chassis_histories([chassis.pk])[chassis.pk]
    return {s.gate: s.state.value for s in all_standings(RECORDED_OF["chassis"], history.evidence, history.changes)}


def test_the_way_of_a_chassis_gate_by_gate():
    chassis = make_chassis("SR-14")
    assert set(chassis_states(chassis).values()) == {"not done"}
    step(chassis, 1, "allotted")
    step(chassis, 1, "in hand")
    assert chassis_states(chassis) | {} == dict.fromkeys(RECORDED_OF["chassis"], "not done") | {
        "allotted": "passed",
        "built": "in hand",
    }
    step(chassis, 2, "stuck", "R12 is missing")
    assert chassis_states(chassis)["built"] == "in hand"
    step(chassis, 3, "built")
    receive(chassis, 4)
    cold(chassis, 5)
    bench(chassis, 6)
    make_fitting(chassis, make_slot("C-07"), fitted_by=pair()[0], at=may(7))
    assert chassis_states(chassis)["fitted"] == "passed"
    assert chassis_states(chassis)["heaters on"] == "not done"
    power_up(chassis, 8)
    assert set(chassis_states(chassis).values()) == {"passed"}


def test_a_chassis_sent_back_is_in_hand_and_its_tests_are_in_doubt():
    chassis = make_chassis("SR-14")
    make_fit(chassis)
    step(chassis, 8, "sent back", "R12 runs hot")
    assert chassis_states(chassis) == {
        "allotted": "passed",
        "built": "in hand",
        "received": "in doubt",
        "cold-checked": "in doubt",
        "bench-tested": "in doubt",
        "fitted": "not done",
        "heaters on": "not done",
        "HT on": "not done",
    }


def test_a_withdrawn_chassis_says_so():
    chassis, doer = make_chassis("SR-14"), pair()[0]
    make_fitting(
        chassis,
        make_slot("C-07"),
        fitted_by=doer,
        at=may(1),
        removed_at=may(2),
        removed_by=doer,
        removed_why="valve V3 dark",
    )
    history = chassis_histories([chassis.pk])[chassis.pk]
    fitted = all_standings(["fitted"], history.evidence)[0]
    assert fitted.state.value == "withdrawn"
    assert fitted.reasons == ("Withdrawn from slot C-07 by Ama on 2 May 2026: valve V3 dark",)


def test_histories_cost_the_same_number_of_queries_at_any_size(django_assert_num_queries):
    links = [make_link("B-05:7", f"C-{number:02}:1", code=str(number)) for number in range(20)]
    for link in links:
        prove(link)
    heading(1)
    with django_assert_num_queries(15):
        link_histories([link.pk for link in links])
    with django_assert_num_queries(15):
        link_histories([links[0].pk])
