"""What the pages of a chassis on its way show: where it stands, to which issue, and what comes next."""

from dataclasses import dataclass
from datetime import datetime

from django.db.models import Prefetch, QuerySet

from restoration.machine.models import Chassis
from restoration.people.models import Person
from restoration.workshop.models import Photo, Step, StepKind
from restoration.workshop.order import NOTHING_YET, STAGES, TrackPoint, is_stuck, stage_of, track

K = StepKind
MARK_OF = {
    NOTHING_YET: "not done",
    K.ALLOTTED: "not done",
    K.IN_HAND: "in hand",
    K.BUILT: "passed",
    K.HANDED_OVER: "passed",
    K.RECEIVED: "passed",
    K.SENT_BACK: "in hand",
}


@dataclass(frozen=True)
class NextAct:
    """The one thing to do next: its words, its page, and whether one press is enough."""

    words: str
    page: str
    kind: str = ""
    one_press: bool = False


NEXT = {
    K.ALLOTTED: NextAct("I take it in hand", "workshop:step-add", K.IN_HAND, one_press=True),
    K.IN_HAND: NextAct("It is built", "workshop:step-add", K.BUILT),
    K.BUILT: NextAct("Hand it over", "workshop:hand-over"),
    K.SENT_BACK: NextAct("I take it in hand again", "workshop:step-add", K.IN_HAND, one_press=True),
}
GET_ON = NextAct("I am getting on again", "workshop:step-add", K.GOING_ON, one_press=True)
WAITS_FOR = {
    NOTHING_YET: "It waits for the site lead to allot it.",
    K.HANDED_OVER: "It waits for the site to receive it. Nothing more is asked of the builder.",
    K.RECEIVED: "It is on site. Nothing more is asked of the builder.",
}


@dataclass(frozen=True)
class Way:
    """One chassis on its way, as its pages show it."""

    chassis: Chassis
    steps: list[Step]

    @property
    def stage(self) -> str:
        """Where it stands."""
        return stage_of(self.steps)

    @property
    def stuck(self) -> bool:
        """Whether its builder is stuck."""
        return is_stuck(self.steps)

    @property
    def word(self) -> str:
        """Where it stands, in words."""
        stage = StepKind(self.stage).label if self.stage else "not yet allotted"
        return f"{stage}, and stuck" if self.stuck else stage

    @property
    def mark(self) -> str:
        """The shape beside that word."""
        return MARK_OF[self.stage]

    @property
    def since(self) -> datetime | None:
        """Since when it stands there."""
        return next((step.done_at for step in reversed(self.steps) if step.kind in STAGES), None)

    @property
    def track(self) -> tuple[TrackPoint, ...]:
        """Its way, as it is drawn."""
        return track(self.steps)

    @property
    def next_act(self) -> NextAct | None:
        """What its builder does next, if it is their turn."""
        return GET_ON if self.stuck else NEXT.get(K(self.stage)) if self.stage else None

    @property
    def waits_for(self) -> str:
        """On whom it waits, where it is not the builder's turn."""
        return WAITS_FOR.get(self.stage, "")

    @property
    def last_words(self) -> Step | None:
        """What was last told about it."""
        return next((step for step in reversed(self.steps) if step.text), None)

    @property
    def history(self) -> list[Step]:
        """All that happened to it, from today backwards."""
        return self.steps[::-1]

    @property
    def print_is_current(self) -> bool:
        """Whether the issue it is built to is the current one."""
        current = self.chassis.design.current_issue
        return current is not None and current == self.chassis.issue

    @property
    def print_note(self) -> str:
        """Say which issue it is built to, and whether that is the current one."""
        built_to, current = self.chassis.issue, self.chassis.design.current_issue
        if current is None:
            return "that drawing has no current issue yet"
        if built_to is None:
            return f"no issue is recorded for this chassis; {current.letter} is current"
        if built_to == current:
            return f"issue {built_to.letter}, your print is current"
        return f"you build to {built_to.letter}; {current.letter} is current"


def ways(chassis: "QuerySet[Chassis]") -> list[Way]:
    """Read the way of each of these chassis, in a constant number of queries."""
    steps = Prefetch("steps", Step.objects.select_related("done_by", "entered_by"))
    rows = chassis.select_related("design", "issue", "builder").prefetch_related("design__issues", steps)
    return [Way(row, list(row.steps.all())) for row in rows]


def way_of(chassis: Chassis) -> Way:
    """Read the way of one chassis."""
    return ways(Chassis.objects.filter(pk=chassis.pk))[0]


def mine(person: Person) -> list[Way]:
    """The chassis a person builds: those that wait for them first, then those handed over."""
    return sorted(ways(Chassis.objects.of(person)), key=lambda way: (way.next_act is None, way.chassis.serial))


def photos_of(chassis: Chassis) -> "QuerySet[Photo]":
    """Its photographs, the newest first."""
    return Photo.objects.filter(chassis=chassis).select_related("added_by").order_by("-added_at", "-pk")
