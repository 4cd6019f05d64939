"""The sheet of three things to try: one for each of the people the site is made for."""

from dataclasses import dataclass
from functools import cache

from django.urls import reverse

from restoration.kestrel.captures import CaptureFile, capture_files
from restoration.kestrel.story import story
from restoration.machine.models import Chassis, Rack
from restoration.workshop.models import Step, StepKind

BUILDER, TESTER, LEAD = "pilar@kestrelsands.example", "tomasz@kestrelsands.example", "ama@kestrelsands.example"


@dataclass(frozen=True)
class Try:
    """One thing to try: whom to come in as, what to do, and where it begins."""

    email: str
    name: str
    text: str
    address: str
    file_address: str = ""


def things_to_try() -> list[Try]:
    """Three errands that can be run on the demonstration as it stands."""
    return [
        Try(
            BUILDER,
            "A builder at home, on a phone if you have one",
            "Open one of your chassis, write a note, add a photograph, move it on, hand it over.",
            _builders_page(),
        ),
        Try(
            TESTER,
            "A pair at the rack",
            "Record a signal check from the capture in this file. It fails: log the fault, filled in, and say what "
            "you tried. Then read the fault log of that link.",
            reverse("proving:signal-check-add", args=[failing_capture()[0]]),
            reverse("kestrel:capture"),
        ),
        Try(
            LEAD,
            "The site lead",
            "Read whether this rack is ready, what holds it, the nearest first, and on whom it waits.",
            _racks_page(),
        ),
    ]


def _builders_page() -> str:
    gone = Step.objects.filter(kind=StepKind.HANDED_OVER).values("chassis")
    mine = Chassis.objects.filter(builder__email=BUILDER).exclude(pk__in=gone).order_by("serial").first()
    return reverse("workshop:chassis-work", args=[mine.serial]) if mine else reverse("workshop:chassis-mine")


def _racks_page() -> str:
    rack = Rack.objects.filter(code="C").first()
    return rack.get_absolute_url() if rack else reverse("commissioning:readiness")


@cache
def failing_capture() -> tuple[str, CaptureFile]:
    """A capture of the story whose figures are outside their limits, and the link it was taken at."""
    check = next(check for check in story().checks() if check.captured and check.expected == "outside")
    file = next(file for file in capture_files(check) if file.end == "load")
    return check.interconnect, file
