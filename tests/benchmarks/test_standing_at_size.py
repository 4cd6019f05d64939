"""Standing on a machine of 100,000 links, each joined, rung out and checked: beside the bare reading of its rows.

A whole recompute may cost at most a few bare readings of the rows it needs, and a swap at the busiest slot a small
part of one. The seconds are printed for whoever keeps a book of them.
"""

import time
from collections.abc import Callable

import pytest
from django.db import connection

from restoration.commissioning.models import Standing
from restoration.commissioning.services import compare_standing, recompute_all, swap_chassis
from restoration.commissioning.services import standing as keeping
from restoration.machine.models import Chassis, Interconnect, Slot
from restoration.people.models import Person
from restoration.proving.models import Joining, RingOut, SignalCheck, SignalReading
from tests.benchmarks.large_machine import BUSY_SLOT, SPARE, make_large_machine, moment

LINKS = 100_000
BARE_READINGS_A_RECOMPUTE = 2.5
SWAP_OF_A_RECOMPUTE = 0.05

pytestmark = [pytest.mark.benchmark, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def machine() -> None:
    make_large_machine(LINKS)
    recompute_all()
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("VACUUM ANALYZE")  # a site's own server does so in the night


def seconds(act: Callable[[], object]) -> float:
    """Seconds of this process' own work, so that whatever else runs beside it counts little."""
    start = time.process_time()
    act()
    return time.process_time() - start


def read_bare() -> None:
    """The rows that a recompute needs, as plain values: the links, their records, and what is stored of them."""
    heading = ("pk", "interconnect_id", "done_at", "done_by_id", "replaces_id")
    for rows in (
        Interconnect.objects.values_list("pk", "code", "signal_id", "source_id", "source__slot_id", "load__slot_id"),
        Joining.objects.values_list(*heading, "second_person_id", "kind", "remarks"),
        RingOut.objects.values_list(*heading, "result", "concession__reason", "concession__until"),
        SignalCheck.objects.values_list(*heading, "result", "parts_changed", "concession__reason", "concession__until"),
        SignalReading.objects.values_list("check_made_id", "quantity", "least", "most"),
        Standing.objects.values_list("pk", "chassis_id", "interconnect_id", "gate", "state", "since", "reasons"),
    ):
        for _ in rows.order_by().iterator():
            pass


def swap() -> float:
    """Swap the chassis of the busiest slot, and give the seconds that standing took of it."""
    slot, spare = Slot.objects.get(pk=BUSY_SLOT), Chassis.objects.get(serial=SPARE)
    one, other = Person.objects.order_by("pk")[:2]
    took: list[float] = []
    recompute = keeping.recompute

    def timed(**facts: object) -> int:
        start = time.perf_counter()
        touched = recompute(**facts)  # type: ignore[arg-type]
        took.append(time.perf_counter() - start)
        return touched

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(keeping, "recompute", timed)
        swap_chassis(
            slot=slot,
            chassis=spare,
            slot_label_read=slot.code,
            chassis_label_read=spare.serial,
            why="V3 is dark.",
            done_by=one,
            second_person=other,
            entered_by=one,
            at=moment(60),
        )
    assert len(took) == 1
    return took[0]


def test_a_swap_and_a_recompute_beside_the_bare_reading(machine: None) -> None:
    bare, whole = min(seconds(read_bare) for _ in range(2)), min(seconds(recompute_all) for _ in range(2))
    swapped = swap()
    differences: list[object] = []
    compared = seconds(lambda: differences.extend(compare_standing()))
    in_doubt = Standing.objects.filter(interconnect__load__slot=BUSY_SLOT, state="in doubt").count()
    print(
        f"{LINKS} links on {connection.vendor}: bare reading {bare:.2f} s, recompute {whole:.2f} s "
        f"({whole / bare:.1f} times), check {compared:.2f} s, standing after a swap {1000 * swapped:.0f} ms"
    )
    assert differences == []
    assert in_doubt >= 100
    assert whole <= BARE_READINGS_A_RECOMPUTE * bare
    assert compared <= BARE_READINGS_A_RECOMPUTE * bare
    assert swapped <= SWAP_OF_A_RECOMPUTE * whole
