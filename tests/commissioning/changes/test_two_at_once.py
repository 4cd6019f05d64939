"""Two people record in the same moment, in real transactions."""

import pytest

from restoration.commissioning.models import Change
from restoration.commissioning.services import ChangedMeanwhile, record_change, swap_chassis
from restoration.engineering.doubt import Kind
from restoration.machine.models import Fitting
from tests.commissioning.changes.small import Small
from tests.commissioning.records import make_fit
from tests.factories import make_chassis

pytestmark = pytest.mark.django_db(transaction=True)


def test_a_slot_is_swapped_once(people, in_threads):
    small = Small()
    third = make_chassis("CG-13", design=small.adder)
    make_fit(third)

    def swap_for(chassis):
        return lambda: swap_chassis(
            slot=small.slot,
            chassis=chassis,
            slot_label_read="C-07",
            chassis_label_read=chassis.serial,
            seen=small.fitting.pk,
            **people,
        )

    answers = in_threads(swap_for(small.spare), swap_for(third))
    assert sorted(type(answer) for answer in answers if isinstance(answer, Exception)) == [ChangedMeanwhile]
    assert in_threads(Change.objects.count, Fitting.objects.standing().count) == [1, 1]


def test_a_change_is_corrected_by_one_of_two(people, in_threads):
    small = Small()
    wrong = record_change(kind=Kind.KNOCK, **small.fields(Kind.KNOCK), **people)
    given = {"kind": Kind.KNOCK, **small.fields(Kind.KNOCK), **people, "replaces": wrong, "replaces_why": "moved"}
    answers = in_threads(lambda: record_change(**given), lambda: record_change(**given))
    (refused,) = (answer for answer in answers if isinstance(answer, Exception))
    assert "was corrected already" in str(refused)
    assert in_threads(Change.objects.count) == [2]
