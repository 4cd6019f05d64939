"""Following a signal through the web page of a large machine costs little more than an empty page, in one run."""

import random
import time
from collections.abc import Callable
from statistics import median

import pytest
from django.test import Client

from restoration.commissioning.models import Standing
from restoration.machine.models import Chassis, Fitting, Interconnect, Rack, Signal, Slot, Terminal
from restoration.people.models import Person
from tests.factories import make_design

LINKS = 100_000
MOST_MORE_S = 0.020
TURNS = 15
LINKS_A_SLOT, LOADS_A_SOURCE, SLOTS_A_RACK = 10, 3, 40
EMPTY_PAGE = "/machine/queries/"

pytestmark = [pytest.mark.benchmark, pytest.mark.django_db]


@pytest.fixture
def large_machine(site_lead: Person) -> list[str]:
    """Every slot fitted and every link with standing; pulses run mostly to near slots, now and then anywhere."""
    chance = random.Random(1951)
    count = LINKS // LINKS_A_SLOT
    design = make_design()
    racks = Rack.objects.bulk_create(Rack(code=f"R{at:03}", position=at) for at in range(count // SLOTS_A_RACK))
    slots = Slot.objects.bulk_create(
        Slot(code=f"S-{at:05}", rack=racks[at // SLOTS_A_RACK], position=at % SLOTS_A_RACK, design=design)
        for at in range(count)
    )
    units = Chassis.objects.bulk_create(Chassis(serial=f"SR-{at:05}", design=design) for at in range(count))
    Fitting.objects.bulk_create(
        Fitting(slot=slot, chassis=unit, fitted_by=site_lead, entered_by=site_lead)
        for slot, unit in zip(slots, units, strict=True)
    )
    _make_links(slots, chance)
    gates = ("allotted", "built", "received", "cold-checked", "bench-tested", "fitted")
    Standing.objects.bulk_create(
        (Standing(chassis=unit, gate=gate, state="passed") for unit in units for gate in gates), batch_size=5000
    )
    links = Interconnect.objects.values_list("pk", flat=True)
    Standing.objects.bulk_create(
        (Standing(interconnect_id=pk, gate=gate, state="passed") for pk in links for gate in ("joined", "rung out")),
        batch_size=5000,
    )
    return [slots[at].code for at in (7, count // 2, count - 60)]


def _make_links(slots: list[Slot], chance: random.Random) -> None:
    outputs = LINKS // LOADS_A_SOURCE + 1
    terminals = [Terminal(slot=slots[at % len(slots)], code=f"o{at // len(slots)}") for at in range(outputs)]
    for at in range(LINKS):
        near = at % len(slots) + chance.randrange(1, 90) if at % 11 else chance.randrange(len(slots))
        terminals.append(Terminal(slot=slots[near % len(slots)], code=f"i{at}"))
    made = Terminal.objects.bulk_create(terminals, batch_size=5000)
    signal = Signal.objects.create(name="digit pulse")
    Interconnect.objects.bulk_create(
        (
            Interconnect(code=f"W{at:06}", source=made[at % outputs], load=made[outputs + at], signal=signal)
            for at in range(LINKS)
        ),
        batch_size=5000,
    )


def seconds(act: Callable[[], object]) -> float:
    start = time.perf_counter()
    act()
    return time.perf_counter() - start


def test_following_a_signal_adds_at_most_20_ms_to_an_empty_page(
    large_machine: list[str], as_person: Callable[[Person], Client], site_lead: Person
) -> None:
    client = as_person(site_lead)
    pages = [f"/machine/follow/?from={code}&way={way}" for code in large_machine for way in ("down", "up")]

    def look(address: str) -> None:
        answer = client.get(address)
        assert answer.status_code == 200
        assert answer.content

    for address in (EMPTY_PAGE, *pages):
        look(address)  # the wiring is read, templates are compiled
    took: dict[str, list[float]] = {address: [] for address in (EMPTY_PAGE, *pages)}
    for _ in range(TURNS):
        for address, times in took.items():
            times.append(seconds(lambda address=address: look(address)))
    empty = median(took.pop(EMPTY_PAGE))
    print(f"\nempty page {empty * 1e3:.1f} ms; on top of it, by median of {TURNS}:")
    for address, times in took.items():
        print(f"  {address}: {(median(times) - empty) * 1e3:.1f} ms")
    assert all(median(times) - empty <= MOST_MORE_S for times in took.values())
