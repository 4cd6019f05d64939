"""Links of which enough is written down to predict them, notes on them, and checks of them."""

from datetime import timedelta

from django.utils import timezone

from restoration.conditioning.models import NoteClass
from restoration.conditioning.services import PartUsed, record_note
from restoration.engineering.in_place import Arrangement
from restoration.machine.models import TerminalFigures, WireForm, WireKind
from restoration.proving.models import BenchReading, BenchTest
from restoration.proving.services import EndFigures, record_signal_check
from tests.factories import make_design, make_ready_link, make_signal, make_slot

LIMITS = {
    "amplitude": (15, 17.5, 20),
    "pulse_duration": (2.2e-6, 2.4e-6, 2.6e-6),
    "rise_time": (None, None, 0.35e-6),
    "overshoot": (None, None, 0.10),
}
PULSE = {"pulse_duration": 2.4e-6, "rise_time": 1e-7, "fall_time": 1.5e-7}


def made_link(source="B-05:7", load="C-04:2", *, length_m=4.6, wire="hook-up", signal="digit pulse", **facts):
    """A link with its wire, drive and load written down, and a signal with limits."""
    slots = [make_slot(end.partition(":")[0], design=make_design(f"KS-{end[:4]}")) for end in (source, load)]
    for slot, terminal, figures in (
        (slots[0], source, {"drive_ohm": 150.0, "drive_most_a": 0.06}),
        (slots[1], load, {"load_ohm": 100e3, "load_f": 22e-12}),
    ):
        TerminalFigures.objects.get_or_create(design=slot.design, terminal=terminal.partition(":")[2], defaults=figures)
    if wire:
        WireKind.objects.get_or_create(
            name=wire, defaults={"form": WireForm.OVER_CHASSIS, "conductor_m": 0.6e-3, "spacing_m": 0.02}
        )
    found = make_signal(signal)
    if not found.limits.exists():
        make_signal(signal, **LIMITS)
    return make_ready_link(source, load, signal=found, length_m=length_m, wire=wire, **facts)


def bench_test(link, tester, *, amplitude_v=17.0, place="output 7", load_ohm=10e3, load_f=None, days=5, **figures):
    """Bench figures of the chassis in the source slot of a link."""
    chassis = link.source.slot.fittings.get(removed_at=None).chassis
    at = timezone.now() - timedelta(days=days)
    test = BenchTest.objects.create(chassis=chassis, result="passed", done_by=tester, entered_by=tester, done_at=at)
    for quantity, value in {"amplitude": amplitude_v, **PULSE, **figures}.items():
        BenchReading.objects.create(
            test=test,
            place=place,
            quantity=quantity,
            value=value,
            nominal=value,
            load_resistance_ohm=load_ohm,
            load_capacitance_f=load_f,
        )
    return test


def check(link, tester, second, *, days=2.0, stage="found", end="load", **figures):
    """A signal check of a link, read by hand."""
    given = {"amplitude": 17.0, **PULSE, "overshoot": 0.05, **figures}
    return record_signal_check(
        interconnect=link,
        ends=[EndFigures(end, stage, given)],
        loads_joined=True,
        parts_changed="a part" if stage == "left" else "",
        done_by=tester,
        second_person=second,
        entered_by=tester,
        at=timezone.now() - timedelta(days=days),
    )


def note_on(link, tester, second, *, arrangement=None, line=None, **given):
    """A modification note on a link: 330 Ω in series at the source unless told otherwise."""
    arrangement = Arrangement(series_ohm=330.0) if arrangement is None else arrangement
    parts = [PartUsed(part.role, part.kind, part.value, stores_line=line) for part in arrangement.parts()]
    words = {"place": "at terminal 7 of B-05", "undone_how": "Take it off and solder the wire on again."}
    fields = {"kind": NoteClass.ADDED, "parts": parts, "why": "It rings in place.", **words, **given}
    fields = {"done_by": tester, "second_person": second, "entered_by": tester, **fields}
    return record_note(interconnect=link, arrangement=arrangement, **fields)
