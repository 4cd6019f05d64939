"""The demonstration, filled once for all of these tests: it goes through the services that people use."""

from datetime import UTC, date, datetime, timedelta

import pytest
import time_machine
from django.db import transaction
from django.urls import reverse

from restoration.commissioning.models import Change, GateRecord, Group, Standing
from restoration.commissioning.services import compare_standing
from restoration.commissioning.testing_again import Question, walk_for
from restoration.conditioning.models import ModificationNote, NotePart, Prediction, WiringFit
from restoration.conditioning.outcomes import outcomes_of
from restoration.engineering.doubt import Kind
from restoration.engineering.in_place import Arrangement
from restoration.faults.models import Fault
from restoration.kestrel.change_table import CHANGES
from restoration.kestrel.coil_table import COILS
from restoration.kestrel.loading import fill, holds_someones_work, is_filled
from restoration.kestrel.loading.calendar import Calendar
from restoration.kestrel.machine_plan import machine_plan
from restoration.kestrel.site_days import LAST_DAY
from restoration.kestrel.tries import failing_capture, things_to_try
from restoration.logbook.services import check_whole_book
from restoration.machine.models import (
    Chassis,
    Design,
    Earth,
    Interconnect,
    Query,
    Rack,
    Rail,
    Slot,
    Stage,
    TerminalFigures,
    WireKind,
)
from restoration.people.models import Person
from restoration.proving.models import Capture, SignalCheck
from restoration.proving.services import EndFigures, record_signal_check
from restoration.workshop.models import CoilRecipe, Photo, StoresLine

NOW = datetime(2027, 2, 3, 9, tzinfo=UTC)


@pytest.fixture(scope="module")
def filled(django_db_setup, django_db_blocker, tmp_path_factory):
    """Fill once; the transaction around it is undone when the last of these tests has run."""
    from django.conf import settings as configured

    former = configured.MEDIA_ROOT
    configured.MEDIA_ROOT = tmp_path_factory.mktemp("media")
    with django_db_blocker.unblock():
        try:
            with transaction.atomic():
                with time_machine.travel(NOW):
                    fill()
                yield configured.MEDIA_ROOT
                transaction.set_rollback(True)
        finally:
            configured.MEDIA_ROOT = former


@pytest.fixture(autouse=True)
def _in_the_filled_database(filled, db, settings):
    settings.MEDIA_ROOT = filled


def test_the_machine_is_as_large_as_it_is_said_to_be():
    counts = [model.objects.count() for model in (Rack, Slot, Design, Person)]
    assert counts == [9, 110, 48, 18]
    lines = machine_plan().interconnects
    assert len(lines) == 880
    assert Interconnect.objects.count() == sum(len(line.loads) for line in lines)


def test_it_is_half_built_with_everything_in_it():
    assert 55 <= Chassis.objects.fitted().count() <= 65
    assert SignalCheck.objects.count() > 350
    assert Capture.objects.count() >= 40
    assert Fault.objects.count() == 25
    assert 1 <= Fault.objects.open().count() <= 6
    assert Photo.objects.exists()
    assert Query.objects.open().count() == 3
    states = set(Standing.objects.values_list("state", flat=True))
    assert states == {"passed", "in hand", "in doubt", "failed", "on concession", "withdrawn"}


def test_its_inside_what_is_shared_and_its_groups_are_entered():
    assert Stage.objects.filter(is_barrier=True).count() >= 8
    assert (Rail.objects.count(), Earth.objects.count(), Group.objects.count()) == (7, 2, 8)
    assert GateRecord.objects.filter(gate="HT on").count() >= 55


def test_its_drawings_drawers_and_coils_are_entered():
    terminals = sum(len(design.ports) for design in machine_plan().designs)
    assert TerminalFigures.objects.count() == terminals
    assert set(WireKind.objects.values_list("name", flat=True)) == set(
        Interconnect.objects.values_list("wire", flat=True)
    )
    assert 180 <= StoresLine.objects.count() <= 220
    assert 0 < StoresLine.objects.filter(quantity=0).count() < 30
    assert set(CoilRecipe.objects.values_list("code", flat=True)) == {coil.code for coil in COILS}


def test_parts_put_on_a_wire_have_a_note_and_came_out_of_a_drawer():
    notes = ModificationNote.objects.in_force().select_related("change__interconnect")
    assert notes.count() >= 20
    for note in notes:
        assert Arrangement.of_dict(note.arrangement).series_ohm > 0
        assert note.change.doubts.exists()
        after = SignalCheck.objects.in_force().filter(
            interconnect=note.change.interconnect, done_at__gte=note.change.done_at
        )
        assert after.exists()
    parts = NotePart.objects.all()
    assert parts.filter(stores_line__isnull=False).count() > 0.8 * parts.count()


def test_what_was_foretold_with_the_constants_of_the_site_mostly_came():
    """The truth of the demonstration is another model than the reckoning knows: hidden impedances, edges and luck."""
    (fit,) = WiringFit.objects.all()
    assert fit.record_count >= 30
    outcomes = outcomes_of(Prediction.objects.filter(fit=fit)).values()
    amplitudes = [figure for one in outcomes if (figure := one.figure("load", "amplitude"))]
    assert len(amplitudes) >= 25
    good = [one for one in amplitudes if one.ratio and abs(one.ratio - 1) <= 0.05]
    assert len(good) >= 0.85 * len(amplitudes)
    assert sum(one.is_inside for one in amplitudes) >= 0.7 * len(amplitudes)


def test_its_last_weeks_put_evidence_in_doubt_each_kind_in_its_way():
    told = {change.kind: change for change in Change.objects.filter(note=None)}
    assert len(told) == len(CHANGES) + 1
    swap = told[Kind.SWAPPED]
    assert (swap.put_in.slot.code, swap.taken_out.slot.code) == ("B-05", "B-05")
    assert all(change.doubts.filter(is_asked=True).exists() for change in told.values())
    assert told[Kind.RAIL].doubts.filter(is_asked=False).exists()
    walk = walk_for(Question(change=swap))
    assert len(walk.checks) > 30
    assert {check.kind for check in walk.checks} == {"interconnect"}  # heaters and HT were brought up the same day


def test_the_stored_standing_is_what_the_records_say():
    assert compare_standing() == []


def test_the_log_book_agrees_and_nothing_in_it_lies_ahead():
    assert check_whole_book().disagreement is None
    newest = max(check.done_at for check in SignalCheck.objects.all())
    assert NOW - timedelta(days=15) < newest < NOW


def test_the_file_to_try_fails_at_the_link_it_is_for():
    code, file = failing_capture()
    first, second = Person.objects.exclude(email=None)[:2]
    check = record_signal_check(
        interconnect=Interconnect.objects.get(code=code),
        ends=[EndFigures("load", "found", capture=file.content, name=file.name)],
        done_by=first,
        second_person=second,
        entered_by=first,
        loads_joined=True,
        at=NOW - timedelta(days=400),
    )
    assert check.result == "failed"
    assert len(things_to_try()) == 3


def test_every_rack_page_and_the_sheet_of_today_open(as_person):
    client = as_person(Person.objects.get(email="ama@kestrelsands.example"))
    for address in [reverse("commissioning:today"), *(rack.get_absolute_url() for rack in Rack.objects.all())]:
        assert client.get(address).status_code == 200


def test_it_is_known_for_what_it_is():
    assert is_filled()
    assert not holds_someones_work()


@pytest.mark.parametrize("today", [date(2026, 11, 25), date(2026, 12, 1), date(2031, 7, 9), date(2025, 1, 1)])
def test_site_days_keep_their_weekday_and_never_lie_ahead(today):
    now = datetime(today.year, today.month, today.day, 0, 30, tzinfo=UTC)
    moved = Calendar.ending_before(now).on(LAST_DAY)
    assert moved.weekday() == LAST_DAY.weekday()
    assert timedelta(days=1) <= today - moved <= timedelta(days=7)
