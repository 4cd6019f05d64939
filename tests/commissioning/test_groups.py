"""Groups: what belongs to one, and how its gates and those of a chassis follow from members and links."""

import pytest

from restoration.commissioning.groups import groups_of, groups_of_links, links_of_group
from restoration.commissioning.models import Group, Standing
from restoration.commissioning.reading import recorded_standings, standings_of
from restoration.commissioning.services import GroupGiven, add_group, edit_group, recompute_all
from restoration.common.versions import EditedMeanwhile
from restoration.machine.models import Slot
from tests.commissioning.records import check, join, make_fit, may, pair, prove, ring
from tests.counting import queries_in
from tests.factories import make_chassis, make_design, make_fitting, make_link, make_slot
from tests.reading import last_line, refused

pytestmark = pytest.mark.django_db


def make_group(code="SUM", slots=("C-07", "C-08"), further=(), **fields):
    group = Group.objects.create(code=code, name="Summing register", **fields)
    group.slots.set([make_slot(slot) for slot in slots])
    group.further_links.set(further)
    return group


def fit_in(slot, serial, day=5):
    unit = make_chassis(serial, design=make_design("KS-207"))
    make_fit(unit)
    return make_fitting(unit, make_slot(slot), fitted_by=pair()[0], at=may(day))


def gate(kind, item, code):
    return next(standing for standing in standings_of(kind, [item.pk])[item.pk] if standing.gate == code)


class TestWhatBelongsToAGroup:
    def test_links_between_members_and_the_further_ones(self):
        within, itself = make_link("C-07:1", "C-08:1", code="1"), make_link("C-07:2", "C-07:3", code="2")
        parallel = make_link("C-07:1", "C-08:1", code="1b")
        out, further = make_link("C-07:1", "D-01:1", code="3"), make_link("D-01:2", "C-08:2", code="4")
        group = make_group(further=[further, within])
        assert set(links_of_group(group)) == {within, itself, parallel, further}
        assert out not in links_of_group(group)

    def test_a_group_without_members_has_only_its_further_links(self):
        link = make_link("C-07:1", "C-08:1")
        assert list(links_of_group(make_group(slots=()))) == []
        assert list(links_of_group(make_group("B", slots=(), further=[link]))) == [link]

    def test_groups_touched_by_a_slot_or_a_link_each_once_in_their_order(self):
        within, out = make_link("C-07:1", "C-08:1", code="1"), make_link("C-07:1", "D-01:1", code="3")
        second, first = make_group("Z", position=2, further=[within]), make_group("A", position=1, further=[out])
        make_group("OTHER", slots=("D-05",))
        assert groups_of(link_ids=[within.pk]) == [first, second]
        assert groups_of(link_ids=[out.pk]) == [first]
        assert groups_of(slot_ids=[make_slot("D-01").pk]) == []
        assert groups_of(slot_ids=[make_slot("C-08").pk], link_ids=[out.pk]) == [first, second]
        assert groups_of() == []

    def test_a_link_between_members_of_two_groups_belongs_to_neither(self):
        make_group("A", slots=("C-07",)), make_group("B", slots=("C-08",))
        assert groups_of_links([make_link("C-07:1", "C-08:1").pk]) == {}

    def test_it_costs_the_same_at_any_size(self):
        links = [make_link("C-07:1", "C-08:1", code=str(n)).pk for n in range(3)]
        make_group()
        few = queries_in(lambda: groups_of(slot_ids=[make_slot("C-07").pk], link_ids=links[:1]))
        for number in range(5):
            make_group(f"G{number}")
        assert queries_in(lambda: groups_of(slot_ids=[make_slot("C-07").pk], link_ids=links)) == few


class TestMembersFitted:
    def test_it_follows_the_fittings_and_names_what_is_empty(self):
        group = make_group()
        assert gate("group", group, "members fitted").state == "not done"
        fit_in("C-07", "SR-1")
        recompute_all()
        standing = gate("group", group, "members fitted")
        assert (standing.state, standing.reasons) == (
            "in hand",
            ("1 of 2 members are fitted.", "Slot C-08, fitted: not done."),
        )
        fit_in("C-08", "SR-2")
        recompute_all()
        assert gate("group", group, "members fitted").state == "passed"

    def test_a_withdrawn_member_is_missing_again(self):
        group = make_group(slots=("C-07",))
        fitting = fit_in("C-07", "SR-1")
        fitting.removed_at, fitting.removed_by = may(8), pair()[0]
        fitting.save()
        recompute_all()
        assert gate("group", group, "members fitted").state == "not done"

    def test_a_group_without_members_is_not_fitted(self):
        standing = gate("group", make_group(slots=()), "members fitted")
        assert (standing.state, standing.reasons) == ("not done", ("It has no members yet.",))


class TestLinksProved:
    def test_every_link_must_stand_also_the_further_ones(self):
        within, further = make_link("C-07:1", "C-08:1", code="1"), make_link("C-07:9", "D-01:1", code="2")
        group = make_group(further=[further])
        prove(within, 6)
        recompute_all()
        assert gate("group", group, "links proved").state == "in hand"
        prove(further, 6)
        recompute_all()
        assert gate("group", group, "links proved").state == "passed"
        join(within, 9, "re-made")
        recompute_all()
        standing = gate("group", group, "links proved")
        assert standing.state == "in doubt"
        assert standing.reasons == (
            "1 of 2 links are proved.",
            "Link 1, rung out: in doubt.",
        )

    def test_a_failed_link_fails_it(self):
        link = make_link("C-07:1", "C-08:1", code="1")
        group = make_group()
        join(link, 6)
        ring(link, 7)
        check(link, 8, "failed")
        recompute_all()
        assert gate("group", group, "links proved").state == "failed"


class TestProvedInPlace:
    def test_a_chassis_is_proved_by_the_links_at_the_slot_it_is_in(self):
        unit = fit_in("C-07", "SR-1").chassis
        links = [make_link("C-07:1", "D-01:1", code="1"), make_link("E-02:3", "C-07:2", code="2")]
        make_link("D-01:2", "E-02:4", code="3")
        recompute_all()
        assert gate("chassis", unit, "proved in place").state == "not done"
        for link in links:
            prove(link, 6)
        recompute_all()
        standing = gate("chassis", unit, "proved in place")
        assert (standing.state, standing.since, standing.reasons) == ("passed", may(6), ("2 of 2 links are proved.",))

    def test_it_is_never_stored(self):
        unit = fit_in("C-07", "SR-1").chassis
        prove(make_link("C-07:1", "D-01:1"), 6)
        make_group()
        recompute_all()
        assert gate("chassis", unit, "proved in place").is_good
        derived = ("proved in place", "members fitted", "links proved")
        assert not Standing.objects.filter(gate__in=derived).exists()

    def test_a_chassis_that_is_in_no_slot_or_at_a_slot_without_links_is_not_proved(self):
        assert gate("chassis", make_chassis("SR-9"), "proved in place").reasons == ()
        unit = fit_in("C-07", "SR-1").chassis
        assert gate("chassis", unit, "proved in place").reasons == ("No link ends at slot C-07 yet.",)

    def test_it_follows_the_chassis_to_another_slot(self):
        fitting = fit_in("C-07", "SR-1")
        prove(make_link("C-07:1", "D-01:1", code="1"), 6)
        fitting.removed_at, fitting.removed_by = may(8), pair()[0]
        fitting.save()
        recompute_all()
        assert gate("chassis", fitting.chassis, "proved in place").state == "not done"


@pytest.mark.parametrize("kind", ["chassis", "group"])
def test_derived_gates_cost_the_same_at_any_size(kind):
    def grow(number):
        unit = fit_in(f"C-{number}", f"SR-{number}").chassis
        prove(make_link(f"C-{number}:1", "D-01:1", code=str(number)), 6)
        return {"chassis": unit, "group": make_group(f"G{number}", slots=(f"C-{number}", "D-01"))}[kind].pk

    ids = [grow(1)]
    few = queries_in(lambda: standings_of(kind, ids))
    ids += [grow(number) for number in range(2, 8)]
    recompute_all()
    assert queries_in(lambda: standings_of(kind, ids)) == few


def test_standings_of_all_four_kinds_name_every_gate_in_order():
    from restoration.commissioning.gates import GATES_OF

    items = {
        "chassis": make_chassis("SR-1"),
        "interconnect": make_link(),
        "rack": make_slot("C-01").rack,
        "group": make_group(),
    }
    for kind, item in items.items():
        standings = standings_of(kind, [item.pk])[item.pk]
        assert tuple(standing.gate for standing in standings) == GATES_OF[kind]
        assert {standing.state.value for standing in standings} == {"not done"}
    assert standings_of("group", []) == recorded_standings("rack", []) == {}


class TestWritingAGroupDown:
    def given(self, **fields):
        slots = list(Slot.objects.order_by("code"))
        return GroupGiven(**{"name": "Summing register", "pass_test": "Add 3 and 4.", "slots": slots, **fields})

    def test_a_group_is_put_on_the_list_with_a_line_in_the_log(self, site_lead):
        link = make_link("C-07:1", "D-01:1", code="3")
        group = add_group(code="SUM", given=self.given(further_links=[link]), by=site_lead)
        assert {slot.code for slot in group.slots.all()} == {"C-07", "D-01"}
        assert list(group.further_links.all()) == [link]
        line = last_line()
        assert line.sentence == (
            "Ama Boateng put group SUM, Summing register, on the list, with 2 members and 1 further link."
        )
        assert (line.subject_kind, line.details["pass_test"]) == ("group", "Add 3 and 4.")

    def test_its_code_is_used_once_and_not_empty(self, site_lead):
        add_group(code="SUM", given=self.given(), by=site_lead)
        assert refused(add_group, code="SUM", given=self.given(), by=site_lead) == (
            "There is a group SUM already; the code of a group is used once."
        )
        assert refused(add_group, code=" ", given=self.given(), by=site_lead) == (
            "Give the group a short code, by which people know it."
        )

    def test_it_is_written_anew_and_the_log_keeps_what_stood_there(self, site_lead):
        make_slot("C-07")
        group = add_group(code="SUM", given=self.given(), by=site_lead)
        edited = edit_group(group=group, version=1, given=self.given(pass_test="Add 5 and 6.", slots=[]), by=site_lead)
        assert (edited.version, edited.pass_test, edited.slots.count()) == (2, "Add 5 and 6.", 0)
        line = last_line()
        assert line.sentence == (
            "Ama Boateng wrote group SUM, Summing register, anew: 0 members. Its pass test reads otherwise now."
        )
        assert line.details["before"]["slots"] == ["C-07"]
        assert line.details["before"]["pass_test"] == "Add 3 and 4."

    def test_the_second_of_two_writers_is_told(self, site_lead):
        make_slot("C-07")
        group = add_group(code="SUM", given=self.given(), by=site_lead)
        edit_group(group=group, version=1, given=self.given(name="Register"), by=site_lead)
        with pytest.raises(EditedMeanwhile):
            edit_group(group=group, version=1, given=self.given(slots=[]), by=site_lead)
        assert group.slots.count() == 1
