"""Acts of the workshop: what they store, write in the log book, and refuse."""

import io
from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone
from PIL import Image

from restoration.common.images import PhotoRefused
from restoration.logbook.models import Entry
from restoration.machine.events import facts_changed
from restoration.workshop.models import Photo, Step, StepKind
from restoration.workshop.services import add_photo, allot, hand_over, stage_of, take_step
from tests.factories import make_chassis, make_design, make_fitting, make_slot
from tests.reading import last_line, refused

K = StepKind


@pytest.fixture
def chassis(db):
    return make_chassis("SR-14")


@pytest.fixture
def facts():
    """Collect the chassis that the acts tell of."""
    told = []

    def listen(sender, chassis, interconnects, **more):
        told.extend(chassis)

    facts_changed.connect(listen)
    yield told
    facts_changed.disconnect(listen)


def go_on(chassis, builder, *kinds, **more):
    return [take_step(chassis=chassis, kind=kind, done_by=builder, entered_by=builder, **more) for kind in kinds]


def photograph():
    out = io.BytesIO()
    Image.new("RGB", (640, 480), (20, 90, 160)).save(out, "JPEG")
    return io.BytesIO(out.getvalue())


# --- allotting ---


def test_allotting_names_the_builder_and_the_current_issue(site_lead, builder, facts):
    chassis = make_chassis("SR-14", issue=None)
    step = allot(chassis=chassis, builder=builder, by=site_lead, text="Before the autumn.")
    chassis.refresh_from_db()
    assert chassis.builder == builder
    assert chassis.issue.letter == "D"
    assert (step.kind, step.text, step.done_by) == (K.ALLOTTED, "Before the autumn.", site_lead)
    line = last_line()
    assert line.sentence == "Ama Boateng allotted chassis SR-14 to Pilar Ortuno, to be built to KS-207 issue D."
    assert (line.subject_kind, line.subject_code, line.act) == ("chassis", "SR-14", "chassis allotted")
    assert facts == [chassis.pk]


def test_allotting_keeps_the_issue_that_was_named(site_lead, builder):
    older = make_chassis("SR-15")
    make_design("KS-207", issue="E")
    allot(chassis=older, builder=builder, by=site_lead)
    older.refresh_from_db()
    assert older.issue.letter == "D"


def test_a_chassis_may_go_to_another_builder_until_it_is_built(chassis, site_lead, builder, never_signs_in):
    allot(chassis=chassis, builder=builder, by=site_lead)
    go_on(chassis, builder, K.IN_HAND)
    allot(chassis=chassis, builder=never_signs_in, by=site_lead)
    chassis.refresh_from_db()
    assert chassis.builder == never_signs_in
    assert stage_of(Step.objects.of(chassis)) == K.ALLOTTED


def test_only_a_builder_is_given_a_chassis(chassis, site_lead, storekeeper, builder):
    assert refused(allot, chassis=chassis, builder=storekeeper, by=site_lead) == (
        "Nell Farrow is not recorded as a builder. Give them that role first."
    )
    builder.is_active = False
    builder.save()
    assert "does not take part any more" in refused(allot, chassis=chassis, builder=builder, by=site_lead)
    assert not Step.objects.exists()
    assert not Entry.objects.exists()


def test_allotting_is_no_step_of_the_builder(chassis, builder):
    assert "say to whom" in refused(take_step, chassis=chassis, kind=K.ALLOTTED, done_by=builder, entered_by=builder)


# --- steps ---


def test_a_chassis_goes_its_way_and_each_step_is_a_line(chassis, site_lead, builder):
    allot(chassis=chassis, builder=builder, by=site_lead)
    go_on(chassis, builder, K.IN_HAND, K.BUILT)
    hand_over(chassis=chassis, done_by=builder, entered_by=builder)
    assert list(Entry.objects.order_by("number").values_list("sentence", flat=True))[1:] == [
        "Pilar Ortuno took chassis SR-14 in hand.",
        "Pilar Ortuno finished building chassis SR-14 to KS-207 issue D.",
        "Pilar Ortuno handed over chassis SR-14, built to KS-207 issue D.",
    ]


def test_the_doer_and_the_one_who_entered_it_are_both_written(chassis, site_lead, never_signs_in):
    allot(chassis=chassis, builder=never_signs_in, by=site_lead)
    step = take_step(chassis=chassis, kind=K.IN_HAND, done_by=never_signs_in, entered_by=site_lead)
    assert (step.done_by, step.entered_by) == (never_signs_in, site_lead)
    assert (last_line().by_name, last_line().told_by) == ("Ama Boateng", "Wilf Sandle")
    assert last_line().sentence == "Wilf Sandle took chassis SR-14 in hand."


def test_what_goes_with_it_is_told_at_hand_over(chassis, site_lead, builder):
    allot(chassis=chassis, builder=builder, by=site_lead)
    go_on(chassis, builder, K.IN_HAND, K.BUILT)
    step = hand_over(
        chassis=chassis,
        done_by=builder,
        entered_by=builder,
        readings="HT to chassis 2M2",
        snags=" ",
        spare_parts="2 knobs",
    )
    assert step.text == "Readings: HT to chassis 2M2\nSpare parts: 2 knobs"
    assert "Readings: HT to chassis 2M2 Spare parts: 2 knobs" in last_line().sentence


def test_a_step_out_of_order_stores_nothing(chassis, site_lead, builder, facts):
    allot(chassis=chassis, builder=builder, by=site_lead)
    facts.clear()
    assert refused(take_step, chassis=chassis, kind=K.BUILT, done_by=builder, entered_by=builder) == (
        "Chassis SR-14 is allotted but not yet in hand, so it cannot be called built."
    )
    assert Step.objects.count() == Entry.objects.count() == 1
    assert facts == []


@pytest.mark.parametrize(
    ("kind", "sentence"),
    [
        (K.NOTE, "A note needs a few words."),
        (K.STUCK, "Say in a few words what you are stuck with, so that somebody can help."),
        (K.SENT_BACK, "Say in a few words what is to be done again."),
    ],
)
def test_some_steps_need_words(chassis, builder, kind, sentence):
    assert refused(take_step, chassis=chassis, kind=kind, done_by=builder, entered_by=builder, text=" \n") == sentence


def test_the_database_too_refuses_a_note_without_words(chassis, builder):
    with pytest.raises(IntegrityError), transaction.atomic():
        Step.objects.create(chassis=chassis, kind=K.NOTE, done_by=builder, entered_by=builder, text="")


def test_a_note_may_be_told_late_and_is_a_fact_too(chassis, site_lead, builder, facts):
    allot(chassis=chassis, builder=builder, by=site_lead)
    facts.clear()
    yesterday = timezone.now() - timedelta(days=1)
    (note,) = go_on(chassis, builder, K.NOTE, text="The valve holders came.", at=yesterday)
    assert note.done_at == yesterday
    assert last_line().happened_at == yesterday
    assert facts == [chassis.pk]


def test_a_step_cannot_have_happened_before_the_one_it_follows(chassis, site_lead, builder):
    allot(chassis=chassis, builder=builder, by=site_lead)
    said = refused(
        take_step,
        chassis=chassis,
        kind=K.IN_HAND,
        done_by=builder,
        entered_by=builder,
        at=timezone.now() - timedelta(days=1),
    )
    assert said.startswith("Chassis SR-14 was recorded as allotted on ")
    assert said.endswith("what follows cannot have happened before that.")


def test_within_the_same_minute_the_order_is_that_of_the_book(chassis, site_lead, builder):
    """A form gives whole minutes, so a step may seem some seconds earlier than the one before."""
    first = timezone.now().replace(second=40) - timedelta(minutes=3)
    allot(chassis=chassis, builder=builder, by=site_lead, at=first)
    (step,) = go_on(chassis, builder, K.IN_HAND, at=first.replace(second=0, microsecond=0))
    assert step.done_at == first
    assert stage_of(Step.objects.of(chassis)) == K.IN_HAND


def test_a_step_to_come_is_refused(chassis, builder):
    said = refused(
        take_step,
        chassis=chassis,
        kind=K.NOTE,
        done_by=builder,
        entered_by=builder,
        text="Tomorrow",
        at=timezone.now() + timedelta(hours=1),
    )
    assert "has not come yet" in said


def test_a_fitted_chassis_is_not_sent_back(chassis, site_lead, builder, tester):
    allot(chassis=chassis, builder=builder, by=site_lead)
    go_on(chassis, builder, K.IN_HAND, K.BUILT, K.HANDED_OVER, K.RECEIVED)
    fitting = make_fitting(chassis, make_slot("C-04", design=chassis.design))
    back = {"chassis": chassis, "kind": K.SENT_BACK, "done_by": tester, "entered_by": tester, "text": "A dry joint"}
    assert refused(take_step, **back) == "Chassis SR-14 is in slot C-04. Withdraw it first, then send it back."
    fitting.removed_at, fitting.removed_by = timezone.now(), tester
    fitting.save()
    take_step(**back)
    assert last_line().sentence == "Tomasz Wilk sent chassis SR-14 back for rework: A dry joint"


# --- photographs ---


def test_a_photograph_is_kept_with_its_line(chassis, builder):
    photo = add_photo(chassis=chassis, file=photograph(), caption=" Underside ", by=builder)
    assert (photo.width, photo.height, photo.caption) == (640, 480, "Underside")
    with photo.image.open() as large, photo.small.open() as small:
        assert large.read(2) == b"\xff\xd8"
        assert Image.open(small).size == (480, 360)
    assert last_line().sentence == "Pilar Ortuno added a photograph of chassis SR-14: Underside"
    assert last_line().details["sha256"] == photo.sha256


def test_a_photograph_that_is_none_leaves_nothing_behind(chassis, builder, settings):
    with pytest.raises(PhotoRefused, match="web page"):
        add_photo(chassis=chassis, file=io.BytesIO(b"<html>"), caption="", by=builder)
    assert not Photo.objects.exists()
    assert not Entry.objects.exists()
    assert not list(settings.MEDIA_ROOT.rglob("*.jpg"))


def test_a_photograph_that_cannot_be_stored_leaves_no_file_behind(chassis, builder, settings, monkeypatch):
    def broken(**line):
        raise RuntimeError("the pen is dry")

    monkeypatch.setattr("restoration.workshop.services.photos.write_line", broken)
    with pytest.raises(RuntimeError, match="the pen is dry"):
        add_photo(chassis=chassis, file=photograph(), caption="", by=builder)
    assert not Photo.objects.exists()
    assert not list(settings.MEDIA_ROOT.rglob("*.jpg"))
