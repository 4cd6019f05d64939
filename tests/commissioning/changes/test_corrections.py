"""A newer change takes the place of an older one, or takes it back; a swap is not talked away."""

import pytest

from restoration.commissioning.models import Change
from restoration.commissioning.services import record_change, swap_chassis, take_back
from restoration.engineering.doubt import Kind
from restoration.proving.models import Joining
from tests.commissioning.changes.small import DOUBTS, asked_of
from tests.reading import last_line, refused

pytestmark = pytest.mark.django_db


@pytest.fixture
def knock(small, people):
    return record_change(kind=Kind.KNOCK, **small.fields(Kind.KNOCK), **people)


@pytest.fixture
def swap(small, people):
    return swap_chassis(
        slot=small.slot, chassis=small.spare, slot_label_read="C-07", chassis_label_read="CG-12", **people
    )


def test_a_correction_takes_the_place_of_the_earlier_one(small, people, knock):
    fields = small.fields(Kind.LIKE_VALVE)
    change = record_change(
        kind=Kind.LIKE_VALVE, **fields, **people, replaces=knock, replaces_why="A valve was replaced, no more."
    )
    assert list(Change.objects.in_force()) == [change]
    assert asked_of(change) == DOUBTS[Kind.LIKE_VALVE]
    assert asked_of(knock) == DOUBTS[Kind.KNOCK]
    assert last_line().sentence.endswith(
        f"It takes the place of change {knock.pk}, because: A valve was replaced, no more."
    )


def test_a_correction_says_why(small, people, knock):
    given = {"kind": Kind.KNOCK, **small.fields(Kind.KNOCK), **people, "replaces": knock}
    assert refused(record_change, **given) == "A correction says why the earlier record was wrong."


def test_a_change_is_corrected_once(small, people, knock):
    given = {"kind": Kind.KNOCK, **small.fields(Kind.KNOCK), **people, "replaces": knock, "replaces_why": "moved"}
    later = record_change(**given)
    says = refused(record_change, **given)
    assert says == f"Change {knock.pk} was corrected already, by change {later.pk}; correct that one."


def test_a_swap_is_not_corrected_by_words(small, people, swap):
    given = {"kind": Kind.KNOCK, **small.fields(Kind.KNOCK), **people, "replaces": swap, "replaces_why": "no swap"}
    says = refused(record_change, **given)
    assert says == (
        f"Change {swap.pk} is a swap, and chassis were moved with it, so words alone cannot correct it. If another "
        "chassis stands in slot C-07 than it says, record a further swap, or withdraw the chassis and fit the right "
        "one; both say in their reason that this change was entered wrongly."
    )
    assert (
        refused(take_back, change=swap, why="no swap", done_by=people["done_by"], entered_by=people["done_by"]) == says
    )


def test_joints_made_again_are_corrected_with_their_joining(small, people):
    wrong = record_change(kind=Kind.REMADE, **small.fields(Kind.REMADE), **people)
    fields = {**small.fields(Kind.REMADE), "now": "over the top"}
    right = record_change(kind=Kind.REMADE, **fields, **people, replaces=wrong, replaces_why="led another way")
    assert right.joining.replaces == wrong.joining
    assert Joining.objects.in_force().filter(kind="re-made").get() == right.joining


def test_joints_made_again_are_not_taken_back_alone(small, people):
    wrong = record_change(kind=Kind.REMADE, **small.fields(Kind.REMADE), **people)
    says = refused(take_back, change=wrong, why="no", done_by=people["done_by"], entered_by=people["done_by"])
    assert says.startswith(f"Change {wrong.pk} recorded joints made again as well. Correct it by a change of the same")
    says = refused(
        record_change, kind=Kind.KNOCK, **small.fields(Kind.KNOCK), **people, replaces=wrong, replaces_why="no"
    )
    assert says == (
        f"Change {wrong.pk} recorded joints made again as well, so only another change of that kind can correct it."
    )


def test_what_did_not_happen_is_taken_back(people, knock, tester):
    taken = take_back(change=knock, why="It was the rack beside it.", done_by=tester, entered_by=tester)
    assert (taken.what, taken.slot) == (f"change {knock.pk} taken back", knock.slot)
    assert asked_of(taken) == set()
    assert list(Change.objects.in_force()) == [taken]
    assert last_line().sentence == (
        f"Tomasz Wilk took back change {knock.pk}, slot C-07 knocked, because: It was the rack beside it."
    )


def test_the_doubt_of_a_change_taken_back_is_gone_from_standing(small, people, knock, tester):
    from restoration.commissioning.reading import standings_of

    def critical():
        standings = standings_of("interconnect", [small.links["102"].pk])[small.links["102"].pk]
        return next(str(each.state) for each in standings if each.gate == "signal-checked")

    assert critical() == "in doubt"
    take_back(change=knock, why="Not this slot.", done_by=tester, entered_by=tester)
    assert critical() == "passed"
