"""Every page of the machine answers, says what it is about, and asks the database the same few times at any size."""

from types import SimpleNamespace
from typing import Any

import pytest
from django.urls import reverse

from restoration.machine.models import Query
from restoration.people.models import Person
from tests.counting import queries_of
from tests.factories import make_bench_point, make_chassis, make_design, make_fitting, make_link, make_signal, make_slot

LISTS = {
    "machine:rack-list": "2 racks with",
    "machine:slot-list": "C-04",
    "machine:design-list": "KS-204",
    "machine:chassis-list": "CG-03",
    "machine:signal-list": "digit pulse",
    "machine:interconnect-list": "214",
    "machine:query-list": "No query waits for an answer.",
}


@pytest.mark.parametrize("name", LISTS)
def test_each_list_opens(name: str, piece: SimpleNamespace, tester: Person, as_person: Any) -> None:
    response = as_person(tester).get(reverse(name))
    assert response.status_code == 200
    shown = LISTS[name] if name != "machine:rack-list" else "3 racks with 4 slots; 1 of them holds a chassis."
    assert shown in response.content.decode()


def test_each_page_of_one_thing_opens(piece: SimpleNamespace, tester: Person, as_person: Any) -> None:
    client = as_person(tester)
    pages = {
        piece.slot.rack.get_absolute_url(): "From the front",
        piece.slot.get_absolute_url(): "digit pulse",
        piece.design.get_absolute_url(): "15 to 20 V",
        piece.chassis.get_absolute_url(): "Spare valve in the lid.",
        piece.signal.get_absolute_url(): "350 ns at most",
        piece.link.get_absolute_url(): "B-05 terminal 7 drives C-04 terminal 2, C-06 terminal 2, D-02 terminal 4",
    }
    for address, words in pages.items():
        response = client.get(address)
        assert response.status_code == 200, address
        assert words in response.content.decode(), address


def enlarge(first: int, last: int) -> None:
    """Add racks, slots, designs, chassis, signals, links and queries of a size."""
    for each in range(first, last):
        design = make_design(f"KS-9{each:02}", title="Clock gate")
        make_bench_point(design)
        slot = make_slot(f"E{each}-01", design=design)
        make_fitting(make_chassis(f"CL-{each:02}", design=design), slot)
        signal = make_signal(f"gate {each}", amplitude=(1, 2, 3))
        make_link("B-05:7", f"E{each}-01:1", signal=signal)
        make_link(f"E{each}-01:2", f"C-04:{each + 10}", signal=make_signal("digit pulse"))
        Query.objects.create(question=f"Which end of {each}?", subject_kind="slot", subject_code=slot.code)


def test_no_page_asks_more_of_the_database_as_the_machine_grows(
    piece: SimpleNamespace, tester: Person, as_person: Any
) -> None:
    addresses = [reverse(name) for name in LISTS] + [
        piece.slot.rack.get_absolute_url(),
        piece.slot.get_absolute_url(),
        piece.signal.get_absolute_url(),
        piece.link.get_absolute_url(),
        piece.design.get_absolute_url(),
    ]
    client = as_person(tester)
    enlarge(0, 2)
    small = {address: queries_of(client, address) for address in addresses}
    enlarge(2, 9)
    large = {address: queries_of(client, address) for address in addresses}
    assert large == small
