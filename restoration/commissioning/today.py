"""Today's sheet: what waits for one person, what is in doubt, what one thing would open most."""

from dataclasses import dataclass, field

from restoration.commissioning.models import Standing
from restoration.commissioning.readiness import readiness_of, sentence
from restoration.commissioning.unlocking import Opener, what_opens_most
from restoration.engineering.readiness import RackReadiness
from restoration.engineering.standing import State
from restoration.faults.models import Fault
from restoration.logbook.models import Entry
from restoration.machine.models import Chassis, Query, Rack
from restoration.people.models import Person
from restoration.people.roles import Permission
from restoration.workshop.models import Step, StepKind

SHOWN = 6
SHOWN_RACKS = 12


@dataclass
class Today:
    """What the sheet shows."""

    mine: list[Chassis] = field(default_factory=list)
    to_receive: list[Chassis] = field(default_factory=list)
    stuck: list[Step] = field(default_factory=list)
    queries: list[Query] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    doubts: list[Standing] = field(default_factory=list)
    doubt_count: int = 0
    racks: list[tuple[Rack, RackReadiness, str]] = field(default_factory=list)
    openers: list[Opener] = field(default_factory=list)
    lately: list[Entry] = field(default_factory=list)

    @property
    def waiting(self) -> int:
        """How many things wait for this person."""
        return len(self.mine) + len(self.to_receive) + len(self.stuck) + len(self.queries)


def sheet_for(person: Person) -> Today:
    """Gather the sheet of one person, in a fixed number of queries."""
    racks = list(Rack.objects.in_order()[:SHOWN_RACKS])
    answers = readiness_of(racks)
    doubts = Standing.objects.filter(state=State.IN_DOUBT.value).order_by("-since", "pk")
    return Today(
        mine=chassis_in_hand(person) if person.may_some(Permission.BUILD_CHASSIS) else [],
        to_receive=handed_over_not_received() if person.may(Permission.RECEIVE_CHASSIS) else [],
        stuck=stuck_builders() if person.may(Permission.ALLOT_CHASSIS) else [],
        queries=list(Query.objects.open()[:SHOWN]) if person.may(Permission.ANSWER_QUERY) else [],
        faults=list(Fault.objects.open().select_related("interconnect").order_by("-opened_at")[:SHOWN]),
        doubts=list(doubts.select_related("chassis", "interconnect", "rack", "group")[:SHOWN]),
        doubt_count=doubts.count(),
        racks=[(rack, answer, sentence(answer)) for rack, answer in zip(racks, answers, strict=True)],
        openers=openers(),
        lately=list(Entry.objects.newest_first()[:8]),
    )


def chassis_in_hand(person: Person) -> list[Chassis]:
    """The chassis this person has not handed over yet."""
    gone = Step.objects.filter(kind=StepKind.HANDED_OVER).values("chassis")
    return list(Chassis.objects.of(person).exclude(pk__in=gone).select_related("design")[:SHOWN])


def handed_over_not_received() -> list[Chassis]:
    """What stands at the door."""
    handed = Step.objects.filter(kind=StepKind.HANDED_OVER).values("chassis")
    units = Chassis.objects.filter(pk__in=handed, receivingchecks=None).select_related("design", "builder")
    return list(units.order_by("serial")[:SHOWN])


def stuck_builders() -> list[Step]:
    """Builders who said that they are stuck, and nothing since."""
    newest: dict[int, Step] = {}
    for step in Step.objects.exclude(kind=StepKind.NOTE).select_related("chassis", "done_by").order_by("done_at", "pk"):
        newest[step.chassis_id] = step
    return [step for step in newest.values() if step.kind == StepKind.STUCK][:SHOWN]


def openers() -> list[Opener]:
    """The missing things that would free most links, the most first; none that frees nothing alone."""
    return [row for row in what_opens_most(shown=3).rows if row.unlock.links]
