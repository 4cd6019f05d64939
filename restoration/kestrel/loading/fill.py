"""The whole filling: cast, plan, and the story act by act in the order in which it happened."""

from collections.abc import Callable
from datetime import datetime

from django.db import connection, transaction
from django.utils import timezone

from restoration.commissioning.services import worked_out_once
from restoration.kestrel.change_table import CHANGES
from restoration.kestrel.loading.calendar import Calendar
from restoration.kestrel.loading.changes import ChangeTeller
from restoration.kestrel.loading.chassis import Act, ChassisTeller
from restoration.kestrel.loading.drawing_office import load_coils, load_ends_and_wires, load_stores
from restoration.kestrel.loading.links import LinkTeller
from restoration.kestrel.loading.looks_again import with_looks_after_joining
from restoration.kestrel.loading.loose_ends import leave_loose_ends
from restoration.kestrel.loading.notes import NoteTeller
from restoration.kestrel.loading.plan import load_cast, load_plan
from restoration.kestrel.loading.shared import load_inside_and_shared
from restoration.kestrel.machine_plan import machine_plan
from restoration.kestrel.power_story import power_story
from restoration.kestrel.story import story
from restoration.kestrel.story_records import InstrumentStory
from restoration.logbook.models import Entry
from restoration.logbook.services import write_line
from restoration.machine.models import Interconnect, Machine, Rack
from restoration.people.models import Person
from restoration.proving.models import Instrument

STOREKEEPER = "Desmond"


def is_filled() -> bool:
    """Say whether the demonstration is in this database already."""
    return Machine.objects.filter(is_demo=True).exists()


def holds_someones_work() -> bool:
    """Say whether anything was entered here that is not the demonstration's."""
    tables = (Person, Entry, Rack, Interconnect)
    return not is_filled() and any(table.objects.exists() for table in tables)


def fill(*, now: datetime | None = None, tell: Callable[[str], None] = lambda _: None) -> int:
    """Fill an empty database, all of it or nothing; return how many acts the story took."""
    calendar = Calendar.ending_before(now or timezone.now())
    with transaction.atomic(), worked_out_once():
        cast = load_cast(calendar)
        write_line(
            act="demonstration",
            sentence="The demonstration was filled in: the people, the days and the readings in it are invented.",
            by=None,
        )
        keeper = cast["Gwen"]
        load_plan(calendar, keeper)
        load_inside_and_shared(keeper)
        load_ends_and_wires(keeper)
        load_coils(keeper)
        load_stores(cast[STOREKEEPER])
        _count_rows()
        tell("The plan of the machine is in.")
        _load_instruments(calendar)
        acts = _acts(
            ChassisTeller(cast, calendar),
            LinkTeller(cast, calendar),
            ChangeTeller(cast, calendar),
            NoteTeller(cast, calendar),
        )
        for number, (_, _, act) in enumerate(acts, start=1):
            act()
            if number % 500 == 0:
                _count_rows()
                tell(f"{number} of {len(acts)} acts of the story are in.")
        leave_loose_ends(cast)
    return len(acts)


def _count_rows() -> None:
    """Let PostgreSQL count what is in so far: all of it is one transaction, and it would plan for empty tables."""
    if connection.vendor == "postgresql":
        tables = connection.introspection.django_table_names(only_existing=True)
        with connection.cursor() as cursor:
            cursor.execute("ANALYZE " + ", ".join(map(connection.ops.quote_name, tables)))


def _load_instruments(calendar: Calendar) -> None:
    Instrument.objects.bulk_create(_instrument(told, calendar) for told in story().instruments)


def _instrument(told: InstrumentStory, calendar: Calendar) -> Instrument:
    return Instrument(
        mark=told.mark,
        kind=told.kind,
        description=told.description,
        bandwidth_hz=told.bandwidth_hz,
        gain_accuracy=told.gain_accuracy,
        check_due_on=calendar.on(told.check_due_on),
    )


def _acts(chassis: ChassisTeller, links: LinkTeller, changes: ChangeTeller, notes: NoteTeller) -> list[Act]:
    told = story()
    acts = [act for unit in told.chassis for act in chassis.acts(unit)]
    acts += [act for link in with_looks_after_joining(told.links) for act in links.acts(link)]
    acts += [act for fault in told.faults for act in links.fault_acts(fault)]
    acts += [*changes.signed(power_story(machine_plan(), told.chassis)), *changes.changes(CHANGES)]
    acts += [*notes.notes(told.links), *notes.constants(), *notes.predictions(told.links)]
    return sorted(acts, key=lambda act: act[:2])
