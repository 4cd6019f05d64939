"""What is refused, in whole sentences, with nothing half stored."""

from datetime import timedelta

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone

from restoration.commissioning.models import Change, Doubt
from restoration.commissioning.services import record_change, swap_chassis
from restoration.engineering.doubt import Kind
from restoration.logbook.models import Entry
from restoration.machine.models import Fitting
from restoration.proving.models import Joining
from tests.commissioning.records import may
from tests.factories import make_chassis, make_design, make_link, make_slot
from tests.reading import refused

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _nothing_half_stored(small):
    before = [model.objects.count() for model in (Entry, Fitting, Joining)]
    yield
    assert [model.objects.count() for model in (Entry, Fitting, Joining)] == before
    assert not Change.objects.exists()
    assert not Doubt.objects.exists()


@pytest.mark.parametrize(
    ("kind", "fields", "says"),
    [
        (Kind.LIKE_VALVE, {"part": "V3"}, "Say which chassis, or the slot that it is in."),
        (Kind.REMADE, {}, "Say which link."),
        (Kind.RAIL, {"part": "setting"}, "Say which rail."),
        (Kind.EARTH, {"part": "bond"}, "Say which earth."),
        (Kind.DRAWING_FUNCTION, {}, "Say which issue of the drawing."),
        (Kind.INSTRUMENT, {"since": may(1)}, "Say which instrument."),
        (Kind.KNOCK, {"now": "damp"}, "Say which racks, or which slot."),
        (Kind.REST, {}, "Give the day on which the rest began."),
    ],
)
def test_what_it_is_about_is_said(kind, fields, says, people):
    assert refused(record_change, kind=kind, **fields, **people) == says


@pytest.mark.parametrize(
    ("kind", "changed", "says"),
    [
        (Kind.LIKE_VALVE, {"part": ""}, "Say which valve, such as V3."),
        (Kind.OTHER_PART, {"now": ""}, "Say what it is now: its value or type."),
        (Kind.OTHER_PART, {"now": "4.7 kΩ"}, "It was 4.7 kΩ and is 4.7 kΩ: that is a part replaced by one like it."),
        (Kind.LOAD, {"now": "moved"}, "Say whether the load was added or lifted."),
        (Kind.CONDITIONED, {"was": "", "now": ""}, "Say what it is now; or, if it was taken off, what it was."),
        (Kind.INSTRUMENT, {"since": None}, "Give the day on which the instrument was last known to be good."),
        (Kind.EARTH, {"part": "x" * 121}, "Say it in 120 letters at most; there is room for more under why."),
    ],
)
def test_what_was_done_is_said(kind, changed, says, small, people):
    assert refused(record_change, kind=kind, **{**small.fields(kind), **changed}, **people) == says


def test_a_reason_is_given(small, people):
    fields = small.fields(Kind.KNOCK)
    says = refused(record_change, kind=Kind.KNOCK, **fields, **{**people, "why": "  "})
    assert says == "A change says why it was made, in a few words."


def test_two_people_are_two(small, people, tester):
    people["second_person"] = tester
    says = refused(record_change, kind=Kind.KNOCK, **small.fields(Kind.KNOCK), **people)
    assert says == "The second person must be another than the doer, and both are Tomasz Wilk."


def test_a_day_to_come_is_refused(small, people):
    later = timezone.now() + timedelta(days=1)
    says = refused(record_change, kind=Kind.KNOCK, at=later, **small.fields(Kind.KNOCK), **people)
    assert "has not come yet" in says


def test_a_rest_begins_before_it_is_recorded(small, people):
    says = refused(record_change, kind=Kind.REST, at=may(10), since=may(12), **people)
    assert says == "12 May 2026 is later than the change itself, which was on 10 May 2026."


def test_a_stage_is_of_the_same_design(small, people):
    fields = {**small.fields(Kind.LIKE_VALVE), "slot": make_slot("D-11")}
    says = refused(record_change, kind=Kind.LIKE_VALVE, **fields, **people)
    assert says == "Stage carry is of another design than this chassis."


def test_what_follows_from_an_act_is_not_recorded_by_itself(people):
    says = refused(record_change, kind=Kind.FAULT, **people)
    assert says == "“fault logged” follows from another act, and is not recorded by itself."
    says = refused(record_change, kind=Kind.SWAPPED, **people)
    assert says == "A swap is recorded with both labels read, as a swap."


def test_a_wire_made_again_was_made_before_and_is_seen(small, people):
    never = make_link("B-05:9", "D-12:9", code="109")
    says = refused(record_change, kind=Kind.REMADE, interconnect=never, **people)
    assert says == "Link 109 was never joined, so no joint of it can be made again."
    people["second_person"] = None
    says = refused(record_change, kind=Kind.REMADE, interconnect=small.links["102"], **people)
    assert says == "Both joints are viewed by a second person; say who."


def swap(small, people, **changed):
    labels = {"slot_label_read": "C-07", "chassis_label_read": "CG-12"}
    return {"slot": small.slot, "chassis": small.spare, **labels, **people, **changed}


def test_a_swap_reads_both_labels(small, people):
    says = refused(swap_chassis, **swap(small, people, slot_label_read="C-08"))
    assert says == "The label on the slot reads “C-08”, but this is slot C-07. Go to the right slot."


def test_a_swap_is_held_by_the_gates_before_fitting(small, people):
    raw = make_chassis("CG-13", design=small.adder)
    says = refused(swap_chassis, **swap(small, people, chassis=raw, chassis_label_read="CG-13"))
    assert "Chassis CG-13 is not ready to be fitted: the gate “received” is not done." in says


def test_a_swap_takes_what_the_slot_wants(small, people):
    other = make_chassis("PF-01", design=make_design("KS-300"))
    says = refused(swap_chassis, **swap(small, people, chassis=other, chassis_label_read="PF-01"))
    assert "Slot C-07 wants design KS-207, Summing register" in says


def test_a_swap_puts_another_in(small, people):
    with pytest.raises(ValidationError) as refusal:
        swap_chassis(**swap(small, people, chassis=small.fitted, chassis_label_read="CG-07"))
    assert refusal.value.message_dict == {"chassis": ["Chassis CG-07 is in slot C-07 already; a swap puts another in."]}


def test_there_is_something_to_swap(small, people):
    empty = make_slot("C-08", design=small.adder)
    says = refused(swap_chassis, **swap(small, people, slot=empty, slot_label_read="C-08"))
    assert says == "There is no chassis in slot C-08 to swap. Fit one there instead."
