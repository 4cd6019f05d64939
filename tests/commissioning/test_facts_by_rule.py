"""Standing from recorded changes, signed gates and the rules of their time; worked by hand from the default rules."""

from datetime import timedelta

import pytest

from restoration.commissioning.facts import HISTORIES_OF
from restoration.commissioning.models import Change, Doubt, GateRecord, Group, RuleVersion
from restoration.commissioning.rules import DEFAULTS
from restoration.commissioning.services import compare_standing, recompute, recompute_all
from restoration.engineering.doubt import Kind
from restoration.engineering.standing import standing_of
from restoration.machine.events import tell_facts_changed
from restoration.machine.models import WiringChange
from restoration.machine.records import Result
from tests.commissioning.records import check, heading, join, make_fit, may, pair, prove, ring
from tests.counting import queries_in
from tests.factories import make_chassis, make_fitting, make_link, make_rack, make_slot

pytestmark = pytest.mark.django_db


@pytest.fixture
def link():
    return make_link("B-05:7", "C-04:2", code="214")


@pytest.fixture
def group(link):
    made = Group.objects.create(code="ADD", name="Adder")
    made.slots.set([link.source.slot, link.load.slot])
    return made


def stands(kind, item, gate):
    """State and reasons of one gate, from the rows."""
    history = HISTORIES_OF[kind]([item.pk])[item.pk]
    standing = standing_of(gate, history.evidence, history.changes)
    return standing.state.value, standing.reasons


def change(day, what="R12 replaced in slot C-04", **fields):
    return Change.objects.create(kind=Kind.LIKE_PART, why="It ran hot.", what=what, **heading(day), **fields)


def doubt(made, gates, rule=8, path="slot C-04 → link 214", **item):
    return Doubt.objects.create(change=made, gates=gates, rule_number=rule, path=path, **item)


def sign(day, gate, result=Result.PASSED, **item):
    return GateRecord.objects.create(gate=gate, result=result, seen="As it should be.", **heading(day), **item)


def reword(number, gates, at):
    """The site words a rule anew at a moment."""
    rule = DEFAULTS.by_number[number]
    last = RuleVersion.objects.filter(number=number).count()
    RuleVersion.objects.create(
        number=number, version=last + 1, gates=gates, share=rule.share.value, reason="so it is here",
        written_at=at, written_by=pair()[0], why="we do it otherwise",
    )  # fmt: skip


class TestRecordedChanges:
    def test_a_doubt_names_change_day_path_and_rule(self, link):
        prove(link)
        made = change(3)
        doubt(made, ["signal-checked"], interconnect=link)
        state, reasons = stands("interconnect", link, "signal-checked")
        assert state == "in doubt"
        assert reasons[0] == (
            f"Change {made.pk}, R12 replaced in slot C-04, on 3 May 2026: slot C-04 → link 214 (rule 8)."
        )
        assert stands("interconnect", link, "rung out")[0] == "passed"
        check(link, 4)
        assert stands("interconnect", link, "signal-checked")[0] == "passed"

    def test_what_a_rule_passes_over_doubts_nothing(self, link):
        prove(link)
        doubt(change(3), ["signal-checked"], interconnect=link, is_asked=False, why_not="one in 5 is asked for")
        assert stands("interconnect", link, "signal-checked")[0] == "passed"

    def test_a_change_taken_back_doubts_nothing(self, link):
        prove(link)
        made = change(3)
        doubt(made, ["signal-checked"], interconnect=link)
        change(4, replaces=made, replaces_why="it was in another slot")
        assert stands("interconnect", link, "signal-checked")[0] == "passed"

    def test_a_doubt_of_one_record_counts_while_that_record_is_the_newest(self, link):
        checked = prove(link)
        made = change(5, what="meter OSC-1 found out of limits")
        doubt(made, ["signal-checked"], rule=33, path=f"signal check {checked.pk}", interconnect=link,
              record=f"signal check {checked.pk}")  # fmt: skip
        assert stands("interconnect", link, "signal-checked")[0] == "in doubt"
        check(link, 2)
        assert stands("interconnect", link, "signal-checked")[0] == "passed"

    def test_it_reaches_chassis_racks_and_groups(self, group):
        unit, rack = make_chassis("SR-14"), make_rack("C")
        sign(1, "HT on", chassis=unit)
        sign(1, "HT proved", rack=rack)
        sign(1, "soak", group=group)
        made = change(3)
        for gate, item in (("HT on", {"chassis": unit}), ("HT proved", {"rack": rack}), ("soak", {"group": group})):
            kind, thing = next(iter(item.items()))
            assert stands(kind, thing, gate)[0] == "passed"
            doubt(made, [gate], **item)
            assert stands(kind, thing, gate)[0] == "in doubt"

    def test_a_swap_speaks_for_both_its_fittings(self, link):
        prove(link, 2)
        doer, slot = pair()[0], link.load.slot
        out = make_fitting(make_chassis("A"), slot, fitted_by=doer, at=may(1), removed_at=may(5), removed_by=doer)
        into = make_fitting(make_chassis("B"), slot, fitted_by=doer, at=may(5))
        assert stands("interconnect", link, "signal-checked")[0] == "in doubt"
        swap = Change.objects.create(kind=Kind.SWAPPED, why="dark", what="A swapped for B", taken_out=out, put_in=into,
                                     **heading(5))  # fmt: skip
        assert stands("interconnect", link, "signal-checked")[0] == "passed"
        change(6, replaces=swap, replaces_why="no swap: they were two visits")
        assert stands("interconnect", link, "signal-checked")[0] == "in doubt"

    def test_a_change_speaks_for_the_joints_it_made(self, link):
        sibling = make_link("B-05:7", "D-02:4", code="215")
        prove(link, 2)
        prove(sibling, 2)
        joint = join(link, 5, "re-made")
        assert stands("interconnect", link, "rung out")[0] == "in doubt"
        assert stands("interconnect", sibling, "signal-checked")[0] == "in doubt"
        Change.objects.create(kind=Kind.REMADE, why="stiff", what="link 214 made again", joining=joint, **heading(5))
        assert stands("interconnect", link, "rung out")[0] == "passed"
        assert stands("interconnect", sibling, "signal-checked")[0] == "passed"


class TestPowerInPlace:
    def test_heaters_and_ht_are_signed_for_and_doubted_by_a_withdrawal(self):
        unit, doer, slot = make_chassis("SR-14"), pair()[0], make_slot("C-07")
        fitting = make_fitting(unit, slot, fitted_by=doer, at=may(1))
        record = sign(2, "heaters on", chassis=unit)
        said = f"Gate record {record.pk} by Ama on 2 May 2026: passed."
        assert stands("chassis", unit, "heaters on") == ("passed", (said,))
        fitting.removed_at, fitting.removed_by = may(3), doer
        fitting.save()
        why = "Chassis SR-14 was withdrawn from slot C-07 on 3 May 2026 (rule 46)."
        assert stands("chassis", unit, "heaters on") == ("in doubt", (why, said))
        make_fitting(unit, slot, fitted_by=doer, at=may(4))
        again = "Chassis SR-14 was fitted in slot C-07 on 4 May 2026, which had been emptied before (rule 44)."
        assert stands("chassis", unit, "heaters on") == ("in doubt", (again, why, said))
        sign(5, "heaters on", chassis=unit)
        assert stands("chassis", unit, "heaters on")[0] == "passed"

    def test_a_fitting_in_another_slot_doubts_them_by_its_own_rule(self):
        unit = make_chassis("SR-14")
        sign(2, "HT on", chassis=unit)
        make_fitting(unit, make_slot("D-11"), fitted_by=pair()[0], at=may(4))
        assert (
            stands("chassis", unit, "HT on")[1][0] == "Chassis SR-14 was fitted in slot D-11 on 4 May 2026 (rule 42)."
        )


class TestRacks:
    def test_a_gate_opened_again_opens_the_release(self):
        rack = make_rack("C")
        sign(1, "bonded", rack=rack)
        sign(2, "open for fitting", rack=rack)
        doubt(change(3), ["bonded"], rule=29, path="earth E-1 → rack C", rack=rack)
        assert stands("rack", rack, "open for fitting")[0] == "in doubt"
        sign(4, "bonded", rack=rack)
        assert stands("rack", rack, "bonded")[0] == "passed"
        assert stands("rack", rack, "open for fitting")[0] == "in doubt"
        sign(5, "open for fitting", rack=rack)
        assert stands("rack", rack, "open for fitting")[0] == "passed"

    def test_a_gate_found_bad_opens_the_release_until_it_is_corrected(self):
        rack = make_rack("C")
        sign(1, "bonded", rack=rack)
        sign(2, "open for fitting", rack=rack)
        bad = sign(3, "bonded", Result.FAILED, rack=rack)
        state, reasons = stands("rack", rack, "open for fitting")
        assert state == "in doubt"
        assert reasons[0] == f"Gate record {bad.pk} by Ama on 3 May 2026: failed."
        sign(3, "bonded", rack=rack, replaces=bad, replaces_why="wrong range")
        assert stands("rack", rack, "open for fitting")[0] == "passed"


class TestGroups:
    def test_a_member_withdrawn_doubts_its_working(self, group, link):
        doer = pair()[0]
        sign(2, "functional check", group=group)
        sign(2, "margin check", group=group)
        make_fitting(
            make_chassis("SR-11"), link.load.slot, fitted_by=doer, at=may(1), removed_at=may(3), removed_by=doer
        )
        why = "Chassis SR-11 was withdrawn from slot C-04 on 3 May 2026 (rule 48)."
        assert stands("group", group, "functional check")[1][0] == why
        assert stands("group", group, "margin check")[0] == "passed"

    def test_loads_and_parts_at_its_links_doubt_function_and_margin(self, group, link):
        sign(2, "functional check", group=group)
        join(link, 3, "lifted", "to hunt a fault")
        assert stands("group", group, "functional check")[1][0] == "Link 214 was lifted on 3 May 2026 (rule 20)."
        check(link, 4, parts_changed="330 ohm in series")
        assert stands("group", group, "functional check")[1][0] == (
            "Parts changed at link 214 on 4 May 2026: 330 ohm in series (rule 23)."
        )

    def test_what_was_done_before_or_elsewhere_does_not(self, group, link):
        join(link, 1)
        elsewhere = make_link("A-01:3", "D-02:5", code="9")
        sign(2, "functional check", group=group)
        join(elsewhere, 3)
        assert stands("group", group, "functional check")[0] == "passed"
        group.further_links.add(elsewhere)
        assert stands("group", group, "functional check")[0] == "in doubt"

    def test_a_link_moved_away_takes_its_doubts_along(self, group, link):
        sign(2, "functional check", group=group)
        join(link, 3)
        tell_facts_changed(interconnects=[link.pk])
        assert group.standings.get(gate="functional check").state == "in doubt"
        former, link.load = link.load, make_link("A-01:3", "D-02:5", code="9").load
        link.save()
        WiringChange.objects.create(
            interconnect=link, changed_at=may(4), touches_wire=True,
            fields={"load": [f"{former.slot.code}:{former.code}", "D-02:5"]},
        )  # fmt: skip
        tell_facts_changed(interconnects=[link.pk])
        assert group.standings.get(gate="functional check").state == "passed"
        assert compare_standing() == []


class TestRulesOfTheirTime:
    def test_an_event_is_judged_by_the_rule_in_force_when_it_happened(self, link):
        prove(link)
        join(link, 3, "re-made")
        reword(50, ["rung out"], may(4))
        assert stands("interconnect", link, "signal-checked")[0] == "in doubt"
        prove(link, 5)
        join(link, 6, "re-made")
        state, reasons = stands("interconnect", link, "rung out")
        assert (state, reasons[0]) == ("in doubt", "Re-made by Ama on 6 May 2026, viewed by Tomasz (rule 50).")

    def test_where_one_rule_is_silent_the_joint_is_still_a_load(self, link):
        prove(link)
        reword(50, [], may(2))
        join(link, 3, "re-made")
        assert stands("interconnect", link, "rung out")[0] == "passed"
        assert stands("interconnect", link, "signal-checked")[1][0].endswith("(rule 18).")
        reword(18, [], may(2))
        assert stands("interconnect", link, "signal-checked")[0] == "passed"

    def test_a_rule_switched_off_derives_nothing(self, link):
        prove(link)
        reword(47, [], may(2))
        doer = pair()[0]
        make_fitting(make_chassis("A"), link.load.slot, fitted_by=doer, at=may(1), removed_at=may(3), removed_by=doer)
        assert stands("interconnect", link, "rung out")[0] == "passed"

    def test_however_many_versions_there_are_it_costs_no_more(self, link):
        prove(link)
        before = queries_in(lambda: HISTORIES_OF["interconnect"]([link.pk]))
        for number in range(10):
            reword(47, ["rung out"], may(2) + timedelta(hours=number))
        assert queries_in(lambda: HISTORIES_OF["interconnect"]([link.pk])) == before


class TestTheStoredCopy:
    def test_every_kind_is_stored_compared_and_mended(self, group, link):
        unit, rack = make_chassis("SR-14"), make_rack("C")
        make_fit(unit)
        prove(link)
        sign(1, "HT on", chassis=unit)
        sign(1, "bonded", rack=rack)
        sign(1, "soak", group=group)
        recompute(chassis=[unit.pk], interconnects=[link.pk], racks=[rack.pk], groups=[group.pk])
        assert compare_standing() == []
        rack.standings.update(state="failed")
        group.standings.all().delete()
        assert {(d.item, d.stored.split(" (")[0]) for d in compare_standing()} == {
            (f"rack {rack.pk}", "failed"),
            (f"group {group.pk}", "not done"),
        }
        assert recompute_all() == 2
        assert compare_standing() == []

    def test_part_by_part_is_the_same_as_at_once(self, monkeypatch):
        links = [make_link(f"B-0{n % 4}:{n % 4}", f"C-{n:02}:1", code=str(n)) for n in range(11)]
        for number, link in enumerate(links):
            prove(link)
            if number % 3 == 0:
                join(link, 4)
        ring(links[5], 6, Result.FAILED)
        recompute_all()
        monkeypatch.setattr("restoration.commissioning.facts.interconnects.PART", 3)
        assert compare_standing() == []
        links[0].standings.all().delete()
        assert recompute_all() == 3

    def test_words_of_any_alphabet_agree_with_what_is_kept(self, link):
        join(link, 1, "lifted", "„Röhre“ V3 – темно")
        recompute(interconnects=[link.pk])
        assert link.standings.get(gate="joined").reasons == ["Lifted by Ama on 1 May 2026: „Röhre“ V3 – темно"]
        assert recompute_all() == 0

    def test_an_act_costs_the_same_number_of_queries_at_any_size(self, group):
        links = [make_link("B-05:9", f"E-{n:02}:1", code=f"E{n}") for n in range(12)]
        for link in links:
            prove(link)
        recompute_all()
        assert queries_in(lambda: recompute(interconnects=[links[0].pk], groups=[group.pk])) == queries_in(
            lambda: recompute(interconnects=[link.pk for link in links], groups=[group.pk])
        )
