"""Tells the way of every chassis, from being allotted to where it stands now."""

from datetime import date, timedelta

from restoration.kestrel.cast import BY_SHORT_NAME
from restoration.kestrel.chassis_checks import bench_test, cold_check, receiving_check
from restoration.kestrel.chassis_table import (
    BENCH_FAILURES,
    BUILDERS_IN_TURN,
    CAPTIONS,
    FITTED_SLOTS,
    KNOWN_SERIALS,
    LAST_SEEN,
    NOTES,
    ON_THE_WAY,
    SPARES,
    STUCK,
    TAKEN_OUT_AND_BACK,
    WITHDRAWN,
)
from restoration.kestrel.plan_records import DesignPlan, MachinePlan
from restoration.kestrel.site_days import LAST_DAY, at, chance, next_site_day, pair, site_day_from
from restoration.kestrel.story_records import (
    ChassisEvent,
    ChassisStory,
    FittingStory,
    PhotoStory,
    StepStory,
    WithdrawalStory,
)

STAGES = (
    "allotted",
    "in hand",
    "stuck",
    "built",
    "handed over",
    "received",
    "cold checked",
    "bench tested",
    "fitted",
)
FIRST_ALLOTTED = date(2025, 1, 12)
DAYS_BETWEEN_ALLOTMENTS = 10.3
LONGEST_WAY_DAYS = 110
DAYS_TO_A_SITE_DAY = 8
DAYS_AGO = {"allotted": (4, 40), "in hand": (1, 20), "built": (1, 8), "handed over": (1, 3), "received": (3, 10)}
HELPER = "Hetty"


def chassis_stories(plan: MachinePlan) -> tuple[ChassisStory, ...]:
    """Every chassis begun, in the order of the slots they are meant for; then the spares."""
    serials = _Serials()
    stories = []
    for slot in plan.slots:
        design = plan.design_by_number[slot.design_number]
        if slot.code in FITTED_SLOTS:
            stories += _fitted(slot.code, design, serials)
        elif slot.code in ON_THE_WAY:
            serial = serials.give(design.serial_prefix, slot.code)
            stories.append(_still_on_the_way(serial, slot.code, design))
    stories += [_spare(serial, plan.design_by_number[number], builder) for serial, number, builder in SPARES]
    return tuple(stories)


class _Serials:
    """Hands out serials, each once."""

    def __init__(self) -> None:
        self.taken = {*KNOWN_SERIALS.values(), *(row[0] for row in WITHDRAWN.values()), *(row[0] for row in SPARES)}

    def give(self, prefix: str, slot: str) -> str:
        if slot in KNOWN_SERIALS:
            return KNOWN_SERIALS[slot]
        serial = next(s for s in (f"{prefix}-{number:02d}" for number in range(1, 100)) if s not in self.taken)
        self.taken.add(serial)
        return serial


def _fitted(slot: str, design: DesignPlan, serials: _Serials) -> list[ChassisStory]:
    place = FITTED_SLOTS.index(slot)
    begun = FIRST_ALLOTTED + timedelta(days=place * DAYS_BETWEEN_ALLOTMENTS)
    builder = BUILDERS_IN_TURN[place % len(BUILDERS_IN_TURN)]
    earlier = []
    if slot in WITHDRAWN:
        earlier = [_withdrawn(slot, design)]
        swapped = date.fromisoformat(WITHDRAWN[slot][3])
        begun, builder = swapped - timedelta(days=130), "Noor"
    telling = _Telling(serials.give(design.serial_prefix, slot), design, builder, slot, begun)
    if slot in WITHDRAWN:
        telling.fit_on(date.fromisoformat(WITHDRAWN[slot][3]))
    story = telling.told_up_to("fitted")
    return [*earlier, _taken_out_and_back(story) if slot in TAKEN_OUT_AND_BACK else story]


def _withdrawn(slot: str, design: DesignPlan) -> ChassisStory:
    serial, builder, fitted, withdrawn, why = WITHDRAWN[slot]
    fit_day, out_day = date.fromisoformat(fitted), date.fromisoformat(withdrawn)
    telling = _Telling(serial, design, builder, slot, fit_day - timedelta(days=110))
    telling.fit_on(fit_day)
    story = telling.told_up_to("fitted")
    return _with_more(story, WithdrawalStory(at(out_day, 10, 5), pair(out_day, serial)[0], slot, why))


def _taken_out_and_back(story: ChassisStory) -> ChassisStory:
    withdrawn, why, back = TAKEN_OUT_AND_BACK[story.meant_for]
    out_day, back_day = date.fromisoformat(withdrawn), date.fromisoformat(back)
    first, second = pair(back_day, story.serial, "back")
    return _with_more(
        story,
        WithdrawalStory(at(out_day, 10, 20), pair(out_day, story.serial)[0], story.meant_for, why),
        FittingStory(
            at(back_day, 14, 30), first, second, story.meant_for, story.meant_for, story.serial, "Back after rework."
        ),
    )


def _with_more(story: ChassisStory, *events: ChassisEvent) -> ChassisStory:
    return ChassisStory(
        story.serial, story.design_number, story.issue, story.builder, story.meant_for, (*story.events, *events)
    )


def _spare(serial: str, design: DesignPlan, builder: str) -> ChassisStory:
    return _Telling(serial, design, builder, "", date(2026, 3, 1)).told_up_to("bench tested")


def _still_on_the_way(serial: str, slot: str, design: DesignPlan) -> ChassisStory:
    """The story of a chassis whose last event fell a few days or weeks ago."""
    stage, builder = ON_THE_WAY[slot]
    ago = int(chance(slot, "ago").integers(*DAYS_AGO.get(stage, (2, 30))))
    last = date.fromisoformat(LAST_SEEN[slot]) if slot in LAST_SEEN else LAST_DAY - timedelta(days=ago)
    begun = last - timedelta(days=LONGEST_WAY_DAYS)
    while True:
        story = _Telling(serial, design, builder, slot, begun).told_up_to(stage)
        short_by = (last - story.events[-1].at.date()).days
        if stage == "stuck" or short_by <= 0:
            return story
        begun += timedelta(days=max(1, short_by - DAYS_TO_A_SITE_DAY))


class _Telling:
    """Tells one chassis forward from the day it was allotted."""

    def __init__(self, serial: str, design: DesignPlan, builder: str, slot: str, begun: date) -> None:
        self.serial, self.design, self.builder, self.slot, self.begun = serial, design, builder, slot, begun
        self.chance = chance(serial, slot)
        self.events: list[ChassisEvent] = []
        self.writer = builder if BY_SHORT_NAME[builder].signs_in else HELPER
        self.fit_day: date | None = None

    def fit_on(self, day: date) -> None:
        """Name the day of fitting instead of taking the next that comes."""
        self.fit_day = day

    def told_up_to(self, stage: str) -> ChassisStory:
        reach = STAGES.index(stage)
        day = self.allotted()
        if reach >= STAGES.index("in hand"):
            day = self.in_hand(day)
        if stage == "stuck":
            self.stuck()
        if reach >= STAGES.index("built"):
            day = self.built(day)
        if reach >= STAGES.index("handed over"):
            day = self.handed_over(day)
        if reach >= STAGES.index("received"):
            self.on_site(day, reach)
        return ChassisStory(
            self.serial, self.design.number, self.issue_then(), self.builder, self.slot, tuple(self.events)
        )

    def issue_then(self) -> str:
        """The issue that was current when the chassis was allotted."""
        return [issue.letter for issue in self.design.issues if issue.issued <= self.begun][-1]

    def step(self, kind: str, day: date, hour: int, text: str = "", minute: int = 0) -> None:
        self.events.append(StepStory(kind, at(day, hour, minute), self.builder, self.writer, text))

    def allotted(self) -> date:
        lead = "Ama B." if self.begun.month % 3 else "Oona"
        text = f"{self.design.title}, issue {self.issue_then()}. Print and kit list sent."
        self.events.append(StepStory("allotted", at(self.begun, 9, 30), lead, lead, text, self.builder))
        return self.begun + timedelta(days=int(self.chance.integers(3, 10)))

    def in_hand(self, day: date) -> date:
        self.step("in hand", day, 19)
        for turn in range(int(self.chance.integers(1, 4))):
            day += timedelta(days=int(self.chance.integers(4, 12)))
            note = NOTES[int(self.chance.integers(len(NOTES)))]
            self.step("note", day, 20, note, minute=turn * 7)
            if turn != 1:
                self.photo(day)
        return day

    def photo(self, day: date) -> None:
        caption = CAPTIONS[int(self.chance.integers(len(CAPTIONS) - 1))]
        self.events.append(PhotoStory(at(day, 21, 5), self.builder, self.writer, caption))

    def stuck(self) -> None:
        day, text = STUCK[self.slot]
        self.step("stuck", date.fromisoformat(day), 18, text)

    def built(self, day: date) -> date:
        if self.chance.random() < 0.2:
            self.step("stuck", day + timedelta(days=2), 19, "Awaiting parts: two resistors, 1 %, from stores.")
            day += timedelta(days=int(self.chance.integers(8, 16)))
            self.step("going on", day, 19, "Desmond's envelope came.")
        day += timedelta(days=int(self.chance.integers(5, 14)))
        self.step("built", day, 18, minute=30)
        self.events.append(PhotoStory(at(day, 18, 45), self.builder, self.writer, CAPTIONS[-1]))
        return day

    def handed_over(self, day: date) -> date:
        day += timedelta(days=int(self.chance.integers(1, 5)))
        words = f"{self.serial}, with its print, readings and the spare screws."
        self.events.append(StepStory("handed over", at(day, 17), self.builder, self.writer, words, "Desmond"))
        return site_day_from(day + timedelta(days=1))

    def on_site(self, day: date, reach: int) -> None:
        self.events.append(receiving_check(self.serial, day))
        if reach >= STAGES.index("cold checked"):
            day = next_site_day(day)
            self.events.append(cold_check(self.serial, self.builder, day))
        if reach >= STAGES.index("bench tested"):
            day = self.on_the_bench(next_site_day(day))
        if reach >= STAGES.index("fitted"):
            self.fitted(max(day, self.fit_day or next_site_day(day)))

    def on_the_bench(self, day: date) -> date:
        if self.slot in BENCH_FAILURES:
            self.events.append(bench_test(self.serial, self.design, day, failing=BENCH_FAILURES[self.slot]))
            day = next_site_day(day)
        self.events.append(bench_test(self.serial, self.design, day))
        return day

    def fitted(self, day: date) -> None:
        first, second = pair(day, self.serial, "fit")
        self.events.append(FittingStory(at(day, 14, 30), first, second, self.slot, self.slot, self.serial))
