"""The story of supplies signed for, power brought up, and what was changed lately."""

from collections.abc import Iterable, Iterator
from functools import partial
from typing import Any

from restoration.commissioning.services import record_change, sign_gate
from restoration.kestrel.change_table import ChangeStory
from restoration.kestrel.loading.calendar import Calendar
from restoration.kestrel.loading.chassis import Act
from restoration.kestrel.loading.plan import Cast
from restoration.kestrel.power_story import SignedStory
from restoration.machine.models import Chassis, Interconnect, Rack, Rail, Slot, Stage
from restoration.machine.records import Result
from restoration.proving.models import Instrument

POWER, CHANGE = 1, 5  # of two acts of one minute, which came first


class ChangeTeller:
    """Turns signed gates and changes into acts, each with its moment."""

    def __init__(self, cast: Cast, calendar: Calendar) -> None:
        self.cast, self.calendar = cast, calendar

    def signed(self, told: Iterable[SignedStory]) -> Iterator[Act]:
        """Give the acts of signing."""
        for each in told:
            yield self.calendar.at(each.at), POWER, partial(self._sign, each)

    def changes(self, told: Iterable[ChangeStory]) -> Iterator[Act]:
        """Give the changes."""
        for each in told:
            yield self.calendar.at(each.at), CHANGE, partial(self._change, each)

    def _sign(self, told: SignedStory) -> None:
        item: Any = Rack.objects.get(code=told.code) if told.kind == "rack" else Chassis.objects.get(serial=told.code)
        doer = self.cast[told.by]
        sign_gate(
            kind=told.kind,
            item=item,
            gate=told.gate,
            result=Result.PASSED,
            seen=told.seen,
            paper=told.paper,
            done_by=doer,
            second_person=self.cast[told.second],
            entered_by=doer,
            at=self.calendar.at(told.at),
        )

    def _change(self, told: ChangeStory) -> None:
        doer = self.cast[told.by]
        record_change(
            kind=told.kind,
            why=told.why,
            done_by=doer,
            second_person=self.cast[told.second] if told.second else None,
            entered_by=doer,
            at=self.calendar.at(told.at),
            **self._touched(told),
        )

    def _touched(self, told: ChangeStory) -> Any:
        touched: dict[str, Any] = dict(told.facts)
        if told.slot:
            touched["slot"] = slot = Slot.objects.get(code=told.slot)
            if told.stage:
                touched["stage"] = Stage.objects.get(design=slot.design_id, name=told.stage)
        if told.source:
            links = Interconnect.objects.filter(source__slot__code=told.source, joinings__isnull=False)
            touched["interconnect"] = links.order_by("code").first()
        if told.rail:
            touched["rail"] = Rail.objects.get(code=told.rail)
        if told.instrument:
            touched["instrument"] = Instrument.objects.get(mark=told.instrument)
        if told.racks:
            touched["racks"] = tuple(Rack.objects.filter(code__in=told.racks))
        if told.since:
            touched["since"] = self.calendar.at(told.since)
        return touched
