"""Tells of parts put on wires, and of what was predicted before a pair went to look."""

import math
from collections.abc import Iterable, Iterator
from datetime import date, timedelta
from functools import partial

from restoration.conditioning.foreseeing import foresee
from restoration.conditioning.known import case_of
from restoration.conditioning.models import NoteClass
from restoration.conditioning.services import PartUsed, keep_prediction, record_note
from restoration.conditioning.services.constants import take_into_use
from restoration.conditioning.stress import ratings_of
from restoration.engineering.in_place import Arrangement
from restoration.kestrel.loading.calendar import Calendar
from restoration.kestrel.loading.chassis import Act
from restoration.kestrel.loading.plan import Cast, wire_codes
from restoration.kestrel.machine_plan import machine_plan
from restoration.kestrel.site_days import at
from restoration.kestrel.story_records import LinkStory, SignalCheckStory
from restoration.machine.models import Interconnect
from restoration.workshop.models import PartKind, StoresLine

BEFORE = timedelta(minutes=4)
NOTE, FORETOLD = 2, 1  # of two acts of one minute, which came first
CONSTANTS_ON = at(date(2026, 9, 16), 17, 30)
FORETOLD_FROM = date(2026, 9, 20)


class NoteTeller:
    """Turns parts put on wires into modification notes, and late looks into predictions kept before them."""

    def __init__(self, cast: Cast, calendar: Calendar) -> None:
        self.cast, self.calendar = cast, calendar
        self.links = {link.code: link for link in Interconnect.objects.all()}
        self.single = {plan.code for plan in machine_plan().interconnects if len(wire_codes(plan)) == 1}

    def notes(self, stories: Iterable[LinkStory]) -> Iterator[Act]:
        """Give a note for every visit that left parts on a wire of one load, some minutes before what was left."""
        for story in stories:
            for check in story.checks:
                if check.left is not None and check.parts_changed and check.interconnect in self.single:
                    yield self.calendar.at(check.at) - BEFORE, NOTE, partial(self._note, check)

    def predictions(self, stories: Iterable[LinkStory]) -> Iterator[Act]:
        """Give a prediction, kept just before the pair looked, for every look since predictions are made."""
        for story in stories:
            for check in story.checks:
                if check.at.date() >= FORETOLD_FROM and check.left is None:
                    yield self.calendar.at(check.at) - BEFORE, FORETOLD, partial(self._foretell, check)

    def constants(self) -> Iterator[Act]:
        """Give the one taking into use of wiring constants, fitted from the records of the site until then."""
        moment = self.calendar.at(CONSTANTS_ON)
        by = self.cast["Tomasz"]
        yield moment, NOTE, partial(take_into_use, by=by, at=moment, remarks="Before racks G and H are joined.")

    def _note(self, told: SignalCheckStory) -> None:
        link, doer = self.links[told.interconnect], self.cast[told.by]
        left = told.left
        shunt_ohm = left.shunt_ohm if left else math.inf
        fitted = Arrangement(series_ohm=left.series_ohm if left else 0.0, shunt_ohm=shunt_ohm)
        known = case_of(link)
        bears = ratings_of(foresee(known, known.case, fitted)) if known.case is not None else {}
        record_note(
            interconnect=link,
            arrangement=fitted,
            parts=[self._part(part.role, part.value, *bears.get(part.role, ())) for part in fitted.parts()],
            kind=NoteClass.ADDED,
            place=f"on the tag strips at {' and '.join(_places(link, fitted))}",
            undone_how="Unsolder it; the wire goes back on its own tag, nothing was cut.",
            marked_how="Blue sleeve on both leads.",
            why="Too tall at the load." if math.isfinite(shunt_ohm) else "It rang past its limit at the load.",
            done_by=doer,
            second_person=self.cast[told.second],
            entered_by=doer,
            at=self.calendar.at(told.at) - BEFORE,
        )

    def _part(self, role: str, value: float, watts: float | None = None, volts: float | None = None) -> PartUsed:
        """The part, out of a drawer that has one of that value."""
        lines = StoresLine.objects.to_hand().of_kind(PartKind.RESISTOR)
        line = lines.filter(value__range=(value * 0.999, value * 1.001)).order_by("-quantity", "pk").first()
        return PartUsed(role, PartKind.RESISTOR, value, line.tolerance if line else 0.10, watts, volts, line)

    def _foretell(self, told: SignalCheckStory) -> None:
        link = self.links[told.interconnect]
        known = case_of(link)
        if known.case is not None:
            figures = foresee(known, known.case).figures
            by, fit = self.cast[told.by], known.rows.fit
            keep_prediction(
                interconnect=link,
                arrangement=known.arrangement,
                figures=figures,
                assumed=known.assumed,
                fit=fit,
                by=by,
                at=self.calendar.at(told.at) - BEFORE,
            )


def _places(link: Interconnect, fitted: Arrangement) -> list[str]:
    at_source = [str(link.source)] if fitted.series_ohm else []
    return [*at_source, *([str(link.load)] if math.isfinite(fitted.shunt_ohm) else [])]
