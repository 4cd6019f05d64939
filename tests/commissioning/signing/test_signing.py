"""Signing for a gate: who may, what must stand before it, what is written down, and corrections."""

import pytest
from django.db import IntegrityError, transaction

from restoration.commissioning.gates import RACK_GATES
from restoration.commissioning.groups import links_of_group
from restoration.commissioning.models import GateRecord
from restoration.commissioning.reading import standings_of
from restoration.commissioning.services import recompute_all, sign_gate, withdraw_chassis
from restoration.commissioning.signing.order import gates_before
from tests.commissioning.records import check, join, may, pair, prove, ring, sign
from tests.factories import make_chassis, make_rack
from tests.reading import last_line, refused

pytestmark = pytest.mark.django_db

READY = "Chassis SR-14 is not ready for"


def sign_chassis(chassis, gate, two, day=6, result="passed", **more):
    return sign_gate(
        kind="chassis",
        item=chassis,
        gate=gate,
        result=result,
        seen="6.2 V at the chassis",
        at=may(day),
        **{**two, **more},
    )


def sign_rack(rack, gate, two, day=6, result="passed", **more):
    given = {"kind": "rack", "item": rack, "gate": gate, "result": result, "seen": "0.02 ohm", "at": may(day)}
    return sign_gate(**{**given, **two, **more})


def sign_group(group, gate, two, day=20, result="passed"):
    return sign_gate(kind="group", item=group, gate=gate, result=result, seen="7, each time", at=may(day), **two)


def state(kind, item, gate):
    return next(s.state.value for s in standings_of(kind, [item.pk])[item.pk] if s.gate == gate)


def test_a_signed_gate_is_stored_told_and_stands(fitted, two):
    record = sign_chassis(fitted, "heaters on", two, paper="PU 12")
    assert (record.gate, record.result, record.seen, record.paper) == (
        "heaters on",
        "passed",
        "6.2 V at the chassis",
        "PU 12",
    )
    line = last_line()
    assert line.sentence == (
        "Ilse Brandt recorded the gate “heaters on” of chassis SR-14 as passed, seen by Tomasz Wilk: "
        "6.2 V at the chassis. Paper: PU 12."
    )
    assert (line.subject_kind, line.subject_code, line.details["record"]) == ("chassis", "SR-14", record.pk)
    assert state("chassis", fitted, "heaters on") == "passed"


def test_heaters_come_before_ht_and_the_slot_before_both(fitted, two):
    assert refused(sign_chassis, fitted, "HT on", two) == (f"{READY} “HT on”: the gate “heaters on” is not done.")
    sign_chassis(fitted, "heaters on", two)
    assert sign_chassis(fitted, "HT on", two, day=7).pk
    loose = make_chassis("SR-15", design=fitted.design)
    assert refused(sign_chassis, loose, "heaters on", two) == (
        "Chassis SR-15 is not ready for “heaters on”: the gate “fitted” is not done."
    )


def test_what_stood_before_is_judged_at_the_moment_of_the_act(fitted, two):
    assert "the gate “fitted” is not done" in refused(sign_chassis, fitted, "heaters on", two, day=4)


def test_a_failed_gate_keeps_the_next_from_passing_and_can_itself_be_recorded_at_any_time(fitted, two):
    assert sign_chassis(fitted, "HT on", two, result="failed").pk
    sign_chassis(fitted, "heaters on", two, result="failed")
    record = GateRecord.objects.get(gate="heaters on")
    assert refused(sign_chassis, fitted, "HT on", two, day=7) == (
        f"{READY} “HT on”: the gate “heaters on” is failed. "
        f"Gate record {record.pk} by Ilse Brandt on 6 May 2026: failed."
    )


def test_power_goes_on_only_over_what_is_not_in_doubt(fitted, two):
    sign_chassis(fitted, "heaters on", two)
    slot = fitted.fitting_now.slot
    doer = pair()[0]
    withdraw_chassis(slot=slot, why="R12 runs hot", removed_by=doer, entered_by=doer, at=may(8))
    assert f"{READY} “HT on”: the gate “fitted” is withdrawn." in refused(sign_chassis, fitted, "HT on", two, day=9)


def test_a_live_gate_needs_two_persons(fitted, two):
    alone = {**two, "second_person": None}
    assert refused(sign_chassis, fitted, "heaters on", alone) == (
        "This gate is passed with heaters or HT on, so it is signed for by two; say who the second person was."
    )
    himself = {**two, "second_person": two["done_by"]}
    assert "The second person must be another than the doer" in refused(sign_chassis, fitted, "heaters on", himself)


def test_one_of_those_who_were_there_may_sign_for_it(fitted, two, tester, second_tester, power_person):
    pair_of_testers = {**two, "done_by": tester, "second_person": second_tester}
    assert refused(sign_chassis, fitted, "heaters on", pair_of_testers) == (
        "To sign for bonding, mains, heaters and HT is not among the things that Tomasz Wilk or Marek Hale may do "
        "here; one of those who were there must be one who may."
    )
    assert sign_chassis(fitted, "heaters on", {**two, "done_by": tester, "second_person": power_person}).pk


@pytest.mark.parametrize(
    ("kind", "gate", "said"),
    [
        ("rack", "fitted", "“fitted” is not among the gates that are signed for of the kind “rack”."),
        ("interconnect", "joined", "“joined” is not among the gates that are signed for of the kind “interconnect”."),
        ("chassis", "fitted", "The gate “fitted” of a chassis follows from other records; nobody signs for it."),
        ("chassis", "proved in place", "The gate “proved in place” of a chassis follows from other records; "),
    ],
)
def test_only_a_signed_gate_is_signed_for(fitted, two, kind, gate, said):
    assert said in refused(sign_gate, kind=kind, item=fitted, gate=gate, result="passed", seen="seen", at=may(6), **two)


@pytest.mark.parametrize("seen", ["", "   "])
def test_a_gate_says_what_was_seen(fitted, two, seen):
    said = refused(
        sign_gate, kind="chassis", item=fitted, gate="heaters on", result="passed", seen=seen, at=may(6), **two
    )
    assert "Say what was seen or measured." in said
    assert not GateRecord.objects.exists()


def test_a_rack_passes_its_gates_in_their_order(rack, two, site_lead):
    assert gates_before("rack", "HT proved") == RACK_GATES[:4]
    said = refused(sign_rack, rack, "distribution rung out", two)
    assert said == (
        "Rack C is not ready for “distribution rung out”: the gate “bonded” is not done. "
        "Rack C is not ready for “distribution rung out”: the gate “mains side certified” is not done."
    )
    for gate in RACK_GATES:
        people = {"done_by": site_lead, "entered_by": site_lead} if gate == "open for fitting" else {}
        sign_rack(rack, gate, {**two, **people}, paper="EC 4711")
    assert [s.state.value for s in standings_of("rack", [rack.pk])[rack.pk]] == ["passed"] * 7


def test_of_the_mains_side_only_the_number_of_the_paper_is_kept(rack, two):
    sign_rack(rack, "bonded", two)
    assert refused(sign_rack, rack, "mains side certified", two) == (
        "Write down the number of the electrician's paper; it is all that is kept here."
    )
    assert sign_rack(rack, "mains side certified", two, paper="EC 4711").paper == "EC 4711"
    assert last_line().sentence.endswith("Paper: EC 4711.")


def test_the_release_for_fitting_is_not_the_power_persons(rack, two, power_person):
    for gate in RACK_GATES[:5]:
        sign_rack(rack, gate, two, paper="EC 4711")
    alone = {"done_by": power_person, "second_person": None, "entered_by": power_person}
    assert refused(sign_rack, rack, "open for fitting", alone) == (
        "To fit a chassis into its slot or withdraw it is not among the things that Ilse Brandt may do here; one of "
        "those who were there must be one who may."
    )


def test_a_group_is_checked_after_its_members_and_links(group, tester, second_tester):
    two = {"done_by": tester, "second_person": second_tester, "entered_by": tester}
    assert refused(sign_group, group, "static check", two) == (
        "Group SUM is not ready for “static check”: the gate “links proved” is not done. 0 of 1 links are proved. "
        "Link 31, joined: not done."
    )
    assert sign_group(group, "functional check", two, result="failed").pk
    prove(links(group)[0], 6)
    recompute_all()
    for gate in ("static check", "functional check", "margin check", "soak", "handed over"):
        sign_group(group, gate, two, day=21)
    assert {s.state.value for s in standings_of("group", [group.pk])[group.pk]} == {"passed"}


def links(group):
    return list(links_of_group(group))


def test_a_group_may_be_checked_again_while_earlier_proof_is_in_doubt(group, tester, second_tester):
    link = links(group)[0]
    join(link, 6)
    ring(link, 7)
    check(link, 8)
    join(link, 9, "re-made")
    two = {"done_by": tester, "second_person": second_tester, "entered_by": tester}
    assert sign_group(group, "static check", two).pk


def test_the_pass_test_is_written_before_the_test(group, tester, second_tester):
    prove(links(group)[0], 6)
    group.pass_test = " "
    group.save()
    two = {"done_by": tester, "second_person": second_tester, "entered_by": tester}
    assert refused(sign_group, group, "static check", two) == (
        "Group SUM is not ready for “static check”: its pass test is not written yet. Write the test before it is made."
    )


def test_the_log_book_keeps_the_pass_test_that_was_in_force(group, tester, second_tester):
    prove(links(group)[0], 6)
    sign_group(group, "static check", {"done_by": tester, "second_person": second_tester, "entered_by": tester})
    assert last_line().details["pass_test"] == "Add 3 and 4; read 7, a hundred times."


def test_a_correction_takes_the_place_of_a_record_and_says_why(fitted, two):
    wrong = sign_chassis(fitted, "heaters on", two, result="failed")
    assert refused(sign_chassis, fitted, "heaters on", two, replaces=wrong) == (
        "A correction says why the earlier record was wrong."
    )
    right = sign_chassis(fitted, "heaters on", two, replaces=wrong, replaces_why="read at the wrong slot")
    assert state("chassis", fitted, "heaters on") == "passed"
    assert last_line().sentence.endswith(
        f"This takes the place of gate record {wrong.pk}, because: read at the wrong slot"
    )
    assert refused(sign_chassis, fitted, "heaters on", two, replaces=wrong, replaces_why="again") == (
        f"Gate record {wrong.pk} was corrected already, by record {right.pk}; correct that one."
    )


def test_a_correction_is_of_the_same_gate_of_the_same_thing(fitted, rack, two):
    wrong = sign_chassis(fitted, "heaters on", two)
    other = sign("rack", make_rack("D"), "bonded", 6)
    assert refused(sign_chassis, fitted, "HT on", two, replaces=wrong, replaces_why="x") == (
        f"Gate record {wrong.pk} is of the gate “heaters on”, and cannot be corrected by one of “HT on”."
    )
    assert refused(sign_rack, rack, "bonded", two, replaces=other, replaces_why="x") == (
        f"Gate record {other.pk} is a record of another rack, and cannot be corrected by one of this."
    )


def test_a_gate_is_of_one_thing(rack, fitted):
    with pytest.raises(IntegrityError), transaction.atomic():
        sign("rack", rack, "bonded", 6, chassis=fitted)
