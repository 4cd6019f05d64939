"""The story of every chassis, told through the services of workshop, proving and commissioning."""

from collections.abc import Callable, Iterator
from datetime import datetime
from functools import partial, singledispatchmethod
from typing import Any

from restoration.commissioning.services import fit_chassis, swap_chassis, withdraw_chassis
from restoration.kestrel.change_table import SWAPPED_IN_ONE_ACT
from restoration.kestrel.loading.calendar import Calendar
from restoration.kestrel.loading.pictures import draw_chassis
from restoration.kestrel.loading.plan import Cast
from restoration.kestrel.story_records import (
    BenchReadingStory,
    BenchStory,
    ChassisEvent,
    ChassisStory,
    ColdCheckStory,
    FittingStory,
    PhotoStory,
    ReceivingStory,
    StepStory,
    WithdrawalStory,
)
from restoration.machine.models import Chassis, Design, Slot
from restoration.machine.models.limits import Quantity
from restoration.proving.models import Instrument
from restoration.proving.services import BenchFigure, check_cold, receive_chassis, test_on_bench
from restoration.workshop.models import StepKind
from restoration.workshop.services import add_photo, allot, take_step

Act = tuple[datetime, int, Callable[[], Any]]


class ChassisTeller:
    """Turns the events of chassis into acts, each with its moment."""

    def __init__(self, cast: Cast, calendar: Calendar) -> None:
        self.cast, self.calendar = cast, calendar
        self.designs = {design.number: design for design in Design.objects.prefetch_related("issues")}
        self.slots = {slot.code: slot for slot in Slot.objects.all()}
        self.instruments = {instrument.mark: instrument for instrument in Instrument.objects.all()}

    def acts(self, story: ChassisStory) -> Iterator[Act]:
        """Write the chassis down, and give its acts in order."""
        design = self.designs[story.design_number]
        issue = next(issue for issue in design.issues.all() if issue.letter == story.issue)
        chassis = Chassis.objects.create(serial=story.serial, design=design, issue=issue)
        for event in story.events:
            yield self.calendar.at(event.at), 0, partial(self.tell, event, chassis.pk)

    def _who(self, event: Any) -> dict[str, Any]:
        doer = self.cast[event.by]
        second = self.cast[event.second] if getattr(event, "second", "") else None
        return {"done_by": doer, "second_person": second, "entered_by": doer, "at": self.calendar.at(event.at)}

    @singledispatchmethod
    def tell(self, event: ChassisEvent, pk: int) -> None:
        """Let one event happen."""
        raise TypeError(f"The story tells of {type(event).__name__}, which nobody here knows how to enter.")

    @tell.register
    def _step(self, event: StepStory, pk: int) -> None:
        chassis, at = Chassis.objects.get(pk=pk), self.calendar.at(event.at)
        doer, entered_by = self.cast[event.by], self.cast[event.entered_by]
        if event.kind == StepKind.ALLOTTED and event.to:
            allot(chassis=chassis, builder=self.cast[event.to], by=doer, at=at, text=event.text)
        else:
            take_step(chassis=chassis, kind=event.kind, done_by=doer, entered_by=entered_by, at=at, text=event.text)

    @tell.register
    def _photo(self, event: PhotoStory, pk: int) -> None:
        chassis = Chassis.objects.select_related("design").get(pk=pk)
        picture = draw_chassis(chassis.serial, chassis.design.title)
        by = self.cast[event.entered_by]
        add_photo(chassis=chassis, file=picture, caption=event.caption, by=by, at=self.calendar.at(event.at))

    @tell.register
    def _receiving(self, event: ReceivingStory, pk: int) -> None:
        receive_chassis(
            chassis=Chassis.objects.get(pk=pk),
            label_read=event.label_read,
            papers_complete=event.papers_complete,
            damage=event.damage,
            result=event.result,
            **self._who(event),
        )

    @tell.register
    def _cold(self, event: ColdCheckStory, pk: int) -> None:
        check_cold(
            chassis=Chassis.objects.get(pk=pk),
            agrees_with_drawing=event.agrees_with_drawing,
            joints_good=event.joints_good,
            ht_to_chassis_ohm=event.ht_to_chassis_ohm,
            heater_to_chassis_ohm=event.heater_to_chassis_ohm,
            hazards=event.hazards,
            remarks=event.remarks,
            **self._who(event),
        )

    @tell.register
    def _bench(self, event: BenchStory, pk: int) -> None:
        test_on_bench(
            chassis=Chassis.objects.get(pk=pk),
            readings=[_bench_figure(reading) for reading in event.readings],
            instrument=self.instruments[event.instrument],
            warm_up_min=event.warm_up_min,
            ht_v=event.ht_v,
            ht_ma=event.ht_ma,
            heater_v=event.heater_v,
            heater_a=event.heater_a,
            temperature_c=event.temperature_c,
            remarks=event.remarks,
            **self._who(event),
        )

    @tell.register
    def _fitting(self, event: FittingStory, pk: int) -> None:
        who = self._who(event)
        chassis = Chassis.objects.select_related("design").get(pk=pk)
        if event.slot in SWAPPED_IN_ONE_ACT and self.slots[event.slot].fittings.standing().exists():
            swap_chassis(
                slot=self.slots[event.slot],
                chassis=chassis,
                slot_label_read=event.slot_label_read,
                chassis_label_read=event.chassis_label_read,
                why=SWAPPED_IN_ONE_ACT[event.slot],
                remarks=event.remarks,
                **who,
            )
            return
        fit_chassis(
            chassis=chassis,
            slot=self.slots[event.slot],
            slot_label_read=event.slot_label_read,
            chassis_label_read=event.chassis_label_read,
            fitted_by=who.pop("done_by"),
            remarks=event.remarks,
            **who,
        )

    @tell.register
    def _withdrawal(self, event: WithdrawalStory, pk: int) -> None:
        if event.slot in SWAPPED_IN_ONE_ACT:
            return  # told with the chassis that went in for it
        doer = self.cast[event.by]
        withdraw_chassis(
            slot=self.slots[event.slot],
            why=event.why,
            removed_by=doer,
            entered_by=doer,
            at=self.calendar.at(event.at),
        )


def _bench_figure(reading: BenchReadingStory) -> BenchFigure:
    place = reading.place if reading.quantity == Quantity.DC_LEVEL else f"terminal {reading.place}"
    return BenchFigure(place, reading.quantity, reading.value)
