"""Short ways to put records on the machine of a test: each on a day of May 2026, by a pair."""

from datetime import UTC, datetime

from restoration.commissioning.facts import link_histories
from restoration.commissioning.gates import LINK_GATES, TABLES
from restoration.commissioning.models import GateRecord
from restoration.engineering.standing import all_standings
from restoration.faults.models import Fault
from restoration.machine.models import WiringChange
from restoration.machine.records import Result
from restoration.proving.models import BenchTest, ColdCheck, Joining, ReceivingCheck, RingOut, SignalCheck
from restoration.workshop.models import Step
from tests.conftest import make_person


def may(day: int) -> datetime:
    """Noon of a day in May 2026."""
    return datetime(2026, 5, day, 12, tzinfo=UTC)


def pair():
    """Two people who record everything in these tests."""
    from restoration.people.models import Person

    names = ("Ama", "Tomasz")
    return [Person.objects.filter(display_name=name).first() or make_person(name) for name in names]


def heading(day):
    doer, second = pair()
    return {"done_at": may(day), "done_by": doer, "second_person": second, "entered_by": doer}


def join(link, day, kind="joined", remarks=""):
    return Joining.objects.create(interconnect=link, kind=kind, remarks=remarks, **heading(day))


def ring(link, day, result=Result.PASSED, **fields):
    return RingOut.objects.create(interconnect=link, result=result, resistance_ohm=0.4, **heading(day), **fields)


def check(link, day, result=Result.PASSED, **fields):
    return SignalCheck.objects.create(interconnect=link, result=result, loads_joined=True, **heading(day), **fields)


def fault(link, day):
    doer = pair()[0]
    return Fault.objects.create(
        interconnect=link, symptom="counts double", seen_by=doer, entered_by=doer, opened_at=may(day)
    )


def rewire(link, day, *fields):
    return WiringChange.objects.create(
        interconnect=link, changed_at=may(day), fields={name: ["a", "b"] for name in fields}, touches_wire=True
    )


def step(chassis, day, kind, text=""):
    doer = pair()[0]
    return Step.objects.create(chassis=chassis, kind=kind, done_at=may(day), done_by=doer, entered_by=doer, text=text)


def receive(chassis, day):
    return ReceivingCheck.objects.create(
        chassis=chassis, label_read=chassis.serial, result=Result.PASSED, **heading(day)
    )


def cold(chassis, day, result=Result.PASSED):
    return ColdCheck.objects.create(chassis=chassis, result=result, **heading(day))


def bench(chassis, day, result=Result.PASSED):
    return BenchTest.objects.create(chassis=chassis, result=result, **heading(day))


def prove(link, day=1):
    """Join, ring out and check a wire on one day."""
    join(link, day)
    ring(link, day)
    return check(link, day)


def make_fit(chassis, upto=4):
    """Bring a chassis to where it can be fitted."""
    step(chassis, 1, "allotted")
    step(chassis, 1, "built")
    receive(chassis, 2)
    cold(chassis, 3)
    bench(chassis, upto)


def sign(kind, item, gate, day, result=Result.PASSED, **fields):
    """Put a signed gate on a chassis, a rack or a group, without asking what stands before it."""
    return GateRecord.objects.create(
        gate=gate, result=result, seen="as expected", **{kind: item}, **heading(day), **fields
    )


def power_up(chassis, day=5):
    """Bring the heaters and HT of a chassis up, in its slot."""
    sign("chassis", chassis, "heaters on", day)
    sign("chassis", chassis, "HT on", day)


def sign_all(kind, item, day):
    """Sign every gate of a rack or a group that is signed for."""
    for gate in TABLES[kind]:
        if gate.is_signed:
            sign(kind, item, gate.code, day)


def standings(link):
    """How the gates of a link stand, worked out from its rows: {gate: (state, newest reason)}."""
    history = link_histories([link.pk])[link.pk]
    worked_out = all_standings(LINK_GATES, history.evidence, history.changes)
    return {s.gate: (s.state.value, s.reasons[0] if s.reasons else "") for s in worked_out}
