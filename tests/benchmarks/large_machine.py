"""A machine of any size with everything recorded of it, stored in bulk: what the timings at size are made on."""

import random
from collections.abc import Iterable, Iterator, Sequence
from datetime import UTC, datetime, timedelta
from typing import Any

from django.core.management.color import no_style
from django.db import connection, models, transaction

from restoration.faults.models import Fault
from restoration.machine.models import (
    Chassis,
    Design,
    Fitting,
    Interconnect,
    Rack,
    Signal,
    SignalLimit,
    Slot,
    Terminal,
)
from restoration.people.models import Person
from restoration.proving.models import (
    BenchTest,
    ColdCheck,
    Joining,
    ReceivingCheck,
    RingOut,
    SignalCheck,
    SignalReading,
)
from restoration.workshop.models import Step

PEOPLE, SIGNALS, LINKS_A_SLOT, LOADS_A_SOURCE, BUSIEST = 8, 600, 10, 2, 60
BUSY_SLOT, SPARE = 3, "SR-spare"
FIRST_DAY = datetime(2025, 3, 1, 9, tzinfo=UTC)
TWICE = 20  # one chassis in so many came out and went in again after everything was proved


def store(model: type[models.Model], names: Sequence[str], rows: Iterable[Sequence[Any]]) -> None:
    """Store rows with the given attributes ("slot_id"), everything else as the model has it by default."""
    fields = [field for field in model._meta.concrete_fields if field.attname in names or not field.primary_key]
    blank = model()
    base = [field.get_db_prep_save(getattr(blank, field.attname), connection) for field in fields]
    places = [next(place for place, field in enumerate(fields) if field.attname == name) for name in names]

    def filled() -> Iterator[list[Any]]:
        for row in rows:
            whole = base[:]
            for place, value in zip(places, row, strict=True):
                whole[place] = connection.ops.adapt_datetimefield_value(value) if isinstance(value, datetime) else value
            yield whole

    columns = ", ".join(f'"{field.column}"' for field in fields)
    marks = ", ".join(["%s"] * len(fields))
    with connection.cursor() as cursor:
        cursor.executemany(f'INSERT INTO "{model._meta.db_table}" ({columns}) VALUES ({marks})', list(filled()))


def moment(day: int, minute: int = 0) -> datetime:
    """A minute of a day of the work."""
    return FIRST_DAY + timedelta(days=day, minutes=minute)


@transaction.atomic
def make_large_machine(links: int) -> None:
    """Make a machine of so many links: every slot fitted, every link joined, rung out and checked; some not well."""
    chance = random.Random(1951)
    slots = max(4, links // LINKS_A_SLOT)
    _make_places(slots, links)
    _make_chassis(slots)
    _make_links(links, slots, chance)
    _make_proof(links, chance)
    made = (Person, Rack, Design, Slot, Terminal, Signal, SignalLimit, Chassis, Fitting, Interconnect, Step, Joining)
    made += (RingOut, SignalCheck, SignalReading, Fault, ReceivingCheck, ColdCheck, BenchTest)
    with connection.cursor() as cursor:
        for line in connection.ops.sequence_reset_sql(no_style(), made):
            cursor.execute(line)


def _make_places(slots: int, links: int) -> None:
    people = ((pk, f"Volunteer {pk}", f"volunteer.{pk}@kestrelsands.example") for pk in range(1, PEOPLE + 1))
    store(Person, ("id", "display_name", "email"), people)
    store(Rack, ("id", "code", "position"), ((pk, f"R{pk:03}", pk) for pk in range(1, slots // 150 + 2)))
    store(Design, ("id", "number", "title"), [(1, "KS-207", "Summing register")])
    store(
        Slot,
        ("id", "code", "rack_id", "design_id"),
        ((pk, f"S-{pk:06}", pk // 150 + 1, 1) for pk in range(1, slots + 1)),
    )
    sources = links // LOADS_A_SOURCE + 1
    outs = ((pk, pk % slots + 1, f"o{pk}") for pk in range(1, sources + 1))
    store(Terminal, ("id", "slot_id", "code"), outs)
    store(Signal, ("id", "name"), ((pk, f"signal {pk}") for pk in range(1, SIGNALS + 1)))
    limits = ((pk, quantity, 15.0, 20.0) for pk in range(1, SIGNALS + 1) for quantity in ("amplitude", "duration"))
    store(SignalLimit, ("signal_id", "quantity", "least", "most"), limits)


def _make_chassis(slots: int) -> None:
    ids = range(1, slots + 1)
    serials = [*(f"SR-{pk}" for pk in ids), SPARE]
    store(Chassis, ("id", "serial", "design_id"), ((pk, serial, 1) for pk, serial in enumerate(serials, start=1)))
    spare = slots + 1
    kinds = ("allotted", "in hand", "built")
    steps = ((pk, kind, moment(1, pk % 400), who(pk), who(pk)) for pk in range(1, spare + 1) for kind in kinds)
    store(Step, ("chassis_id", "kind", "done_at", "done_by_id", "entered_by_id"), steps)
    heading = ("chassis_id", "result", "done_at", "done_by_id", "second_person_id", "entered_by_id")
    for day, model in ((2, ReceivingCheck), (3, ColdCheck), (4, BenchTest)):
        rows = ((pk, "passed", moment(day, pk % 400), who(pk), who(pk + 1), who(pk)) for pk in range(1, spare + 1))
        store(model, heading, rows)
    fitting = ("chassis_id", "slot_id", "fitted_at", "fitted_by_id", "entered_by_id", "removed_at", "removed_by_id")
    once = (
        (pk, pk, moment(5, pk % 400), who(pk), who(pk), *((moment(40), who(pk)) if pk % TWICE == 7 else (None, None)))
        for pk in ids
    )
    store(Fitting, fitting, once)
    again = ((pk, pk, moment(41), who(pk), who(pk), None, None) for pk in ids if pk % TWICE == 7)
    store(Fitting, fitting, again)


def who(number: int) -> int:
    """One of the people, in turn."""
    return number % PEOPLE + 1


def _make_links(links: int, slots: int, chance: random.Random) -> None:
    first = links // LOADS_A_SOURCE + 2
    slot_of = [BUSY_SLOT if number < BUSIEST - 10 else chance.randrange(slots) + 1 for number in range(links)]
    loads = ((first + number, slot, f"i{number}") for number, slot in enumerate(slot_of))
    store(Terminal, ("id", "slot_id", "code"), loads)
    rows = (
        (
            number + 1,
            f"W{number + 1}",
            number // LOADS_A_SOURCE + 1,
            first + number,
            number % SIGNALS + 1,
            number % 9 == 0,
        )
        for number in range(links)
    )
    store(Interconnect, ("id", "code", "source_id", "load_id", "signal_id", "is_critical"), rows)


def _make_proof(links: int, chance: random.Random) -> None:
    ids = range(1, links + 1)
    heading = ("done_at", "done_by_id", "second_person_id", "entered_by_id")

    def by_pair(pk: int, day: int) -> tuple[Any, ...]:
        return moment(day + pk % 5, chance.randrange(400)), who(pk), who(pk + 1), who(pk)

    store(Joining, ("interconnect_id", "kind", *heading), ((pk, "joined", *by_pair(pk, 6)) for pk in ids))
    lifted = ((pk, "lifted", "to hunt a fault", *by_pair(pk, 50)) for pk in ids if pk % 97 == 0)
    store(Joining, ("interconnect_id", "kind", "remarks", *heading), lifted)
    store(RingOut, ("interconnect_id", "result", *heading), ((pk, "passed", *by_pair(pk, 12)) for pk in ids))
    checks = ((pk, pk, "failed" if pk % 53 == 0 else "passed", *by_pair(pk, 20)) for pk in ids)
    store(SignalCheck, ("id", "interconnect_id", "result", *heading), checks)
    readings = (
        (pk, "load", "found", quantity, 17.0, 15.0, 20.0, "within")
        for pk in ids
        for quantity in ("amplitude", "duration")
    )
    names = ("check_made_id", "end", "stage", "quantity", "value", "least", "most", "verdict")
    store(SignalReading, names, readings)
    faults = ((pk, "counts double", who(pk), who(pk), moment(45)) for pk in ids if pk % 101 == 0)
    store(Fault, ("interconnect_id", "symptom", "seen_by_id", "entered_by_id", "opened_at"), faults)
