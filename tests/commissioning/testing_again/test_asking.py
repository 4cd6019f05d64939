"""Which doubts a question is about, and what is set apart."""

from datetime import date

import pytest

from restoration.commissioning.models import Change, Doubt
from restoration.commissioning.services import recompute_all
from restoration.commissioning.testing_again import Question, walk_for
from restoration.machine.models import Rack
from tests.commissioning.records import check, fault, join, may, pair, power_up, ring
from tests.counting import queries_in
from tests.factories import make_link

pytestmark = pytest.mark.django_db


def asked(**question):
    return [(each.code, each.gate) for each in walk_for(Question(**question)).checks if each.kind == "interconnect"]


def links_apart(**question):
    return {
        (each.code, each.gate): each.apart for each in walk_for(Question(**question)).apart if each.kind != "chassis"
    }


DEAD_THEN_LIVE = [("215", "rung out"), ("214", "rung out"), ("215", "signal-checked"), ("214", "signal-checked")]


def test_a_swap_asks_for_every_wire_at_the_slot_dead_first_and_rack_by_rack(swapped):
    assert asked() == DEAD_THEN_LIVE
    assert asked(slot=swapped.slot) == DEAD_THEN_LIVE


def test_each_row_names_what_was_done(swapped):
    reasons = walk_for(Question(link=swapped.links["214"])).checks[0].reasons
    assert any("Chassis SR-11 was withdrawn from slot C-04 on 3 May 2026" in reason for reason in reasons)


def test_a_link_or_a_rack_narrows_the_question(swapped):
    assert asked(link=swapped.links["215"]) == [("215", "rung out"), ("215", "signal-checked")]
    assert asked(link=swapped.links["300"]) == []
    assert asked(rack=Rack.objects.get(code="C")) == DEAD_THEN_LIVE


def test_since_a_day_counts_the_last_change_not_the_first(swapped):
    make_link("B-05:7", "B-06:2", code="216")
    assert asked(since=date(2026, 5, 3)) == DEAD_THEN_LIVE
    assert asked(since=date(2026, 5, 4)) == []
    fault(swapped.links["214"], 6)
    recompute_all()
    assert asked(since=date(2026, 5, 4)) == [("214", "signal-checked")]


def test_what_is_proved_again_is_asked_for_no_more(swapped):
    ring(swapped.links["214"], 4)
    check(swapped.links["214"], 4)
    recompute_all()
    assert asked() == [("215", "rung out"), ("215", "signal-checked")]


def test_a_lifted_wire_is_set_apart_with_why(swapped):
    join(swapped.links["214"], 4, kind="lifted", remarks="rings too much")
    recompute_all()
    assert asked() == [("215", "rung out"), ("215", "signal-checked")]
    assert links_apart()[("214", "rung out")] == ("Link 214 is not joined now; this is tested when it is joined again.")


def test_no_signal_is_asked_for_at_an_empty_slot(swapped):
    swapped.empty(swapped.slot)
    assert asked() == [("215", "rung out"), ("214", "rung out")]
    assert links_apart()[("214", "signal-checked")] == (
        "No chassis is fitted in slot C-04, so no signal can be proved there."
    )


def test_a_failed_ring_out_comes_before_the_signal(swapped):
    ring(swapped.links["214"], 4, result="failed")
    recompute_all()
    assert ("214", "signal-checked") not in asked()
    assert links_apart()[("214", "signal-checked")] == "Link 214 is not rung out; that comes first."


def recorded_change(swapped, **fields):
    doer = pair()[0]
    return Change.objects.create(
        kind="rail, its supply or decoupling changed",
        what="HT set to 310 V",
        why="low",
        done_at=may(5),
        done_by=doer,
        entered_by=doer,
        **fields,
    )


def doubted(change, link, *, is_asked=True, why_not=""):
    Doubt.objects.create(
        change=change,
        interconnect=link,
        gates=["signal-checked"],
        rule_number=21,
        path=f"rail HT-2 → slot B-06 → link {link.code}",
        is_asked=is_asked,
        why_not=why_not,
    )


def test_a_change_asks_for_what_it_doubts_and_sets_apart_what_its_rule_passes_over(swapped):
    change = recorded_change(swapped)
    why_not = "Rule 21 asks for one in 5 of the rest, and link 300 is not among them."
    doubted(change, swapped.links["215"])
    doubted(change, swapped.links["300"], is_asked=False, why_not=why_not)
    recompute_all()
    assert asked(change=change) == [("215", "signal-checked")]
    assert links_apart(change=change) == {("300", "signal-checked"): why_not}
    check(swapped.links["300"], 6)
    recompute_all()
    assert links_apart(change=change) == {}


def test_a_change_that_was_corrected_asks_for_nothing(swapped):
    change = recorded_change(swapped)
    doubted(change, swapped.links["300"])
    recompute_all()
    assert asked(change=change) == [("300", "signal-checked")]
    recorded_change(swapped, replaces=change, replaces_why="it was the other rail")
    recompute_all()
    assert asked(change=change) == []


def test_a_swap_asks_for_power_steps_that_were_never_done(swapped):
    change = recorded_change(swapped)
    Doubt.objects.create(
        change=change, chassis=swapped.new, gates=["fitted", "heaters on", "HT on"], rule_number=11, path="slot C-04"
    )
    recompute_all()

    def steps():
        return [(each.code, each.gate) for each in walk_for(Question(change=change)).checks if each.kind == "chassis"]

    assert ("SR-12", "heaters on") in steps()
    assert ("SR-12", "HT on") in steps()
    power_up(swapped.new, 6)
    recompute_all()
    assert ("SR-12", "HT on") not in steps()


def test_the_question_in_words(swapped):
    assert Question(slot=swapped.slot).in_words() == "what is in doubt at slot C-04"
    assert Question().in_words() == "all that is in doubt"


def test_as_many_questions_to_the_database_for_two_links_as_for_ten(swapped):
    few = queries_in(lambda: walk_for(Question()))
    for number in range(8):
        link = make_link(f"B-05:{number + 20}", f"C-04:{number + 20}", code=f"4{number}")
        for act in (join, ring, check):
            act(link, 2)
    recompute_all()
    assert len(asked()) == 20
    assert queries_in(lambda: walk_for(Question())) == few
