"""The page of loops and of the order of proving, on small machines drawn in each test."""

import pytest

from restoration.machine.models import Design, Interconnect, Slot, Stage, StagePort, Terminal
from restoration.machine.proving_order import order_now, sentence
from tests.counting import queries_of
from tests.factories import make_design, make_link, make_slot
from tests.reading import words

pytestmark = pytest.mark.django_db
ADDRESS = "/machine/loops/"


@pytest.fixture
def ring():
    """The drum feeds a ring of three slots, through which the digit pulse goes round; the ring feeds the printer."""
    make_link("A-01:1", "C-01:1", code="100", signal="drum read")
    make_link("C-01:2", "C-02:1", code="214", signal="digit pulse")
    make_link("C-02:2", "C-03:1", code="215", signal="carry")
    make_link("C-03:2", "C-01:3", code="216")
    make_link("C-03:2", "D-11:1", code="300", signal="print")
    make_link("D-11:2", "D-11:3", code="301", signal="hold")


def test_the_order_opens_a_loop_at_a_source_with_stand_ins_in_words(ring, site_lead, as_person):
    text = words(as_person(site_lead).get(ADDRESS))
    assert (
        "2 loops hold 4 of 6 links; opening them at 2 sources frees every link in them, and all is proved in 3 layers, "
        "the largest loop in 2 rounds while open." in text
    )
    assert (
        "Layer 2: open loop 1 2 With the power off, lift the link of source C-01:2 there: 214 . "
        "Put a stand-in source on this wire, which imitates digit pulse, "
        "and a stand-in load on terminal C-01:2 . This frees 2 further links."
    ) in text
    assert (
        "Layer 2: close loop 1 5 With the power off, take the stand-ins off source C-01:2 and its wire, "
        "join this link again, and prove it with the loop closed: 214 ."
    ) in text


def test_the_steps_stand_in_their_order(ring):
    kept = order_now()
    codes = kept.known.link_codes([row.link for row in kept.steps])
    steps = [(str(row.deed), code, *row[2:5]) for row, code in zip(kept.steps, codes, strict=True)]
    assert steps == [
        ("prove", "100", 1, 0, 0),
        ("open", "214", 2, 1, 0),
        ("prove", "215", 2, 1, 1),
        ("prove", "216", 2, 1, 2),
        ("close", "214", 2, 1, 0),
        ("prove", "300", 2, 0, 0),
        ("open", "301", 3, 2, 0),
        ("close", "301", 3, 2, 0),
    ]


def test_the_page_names_loops_their_slots_and_links_back_into_their_own_slot(ring, site_lead, as_person):
    answer = as_person(site_lead).get(ADDRESS)
    text = words(answer)
    assert "Loops through two or more slots 1" in text
    assert "Layers of slots, a loop taken as one 3" in text
    assert "Loop 1 C-01 , C-02 , C-03 3 1 source" in text
    assert "Links back into their own slot: 1 301 , from D-11:2 to D-11:3" in text
    assert "?from=C-02&amp;way=down" in answer.content.decode()


def test_a_signal_without_a_name_is_imitated_as_such(site_lead, as_person):
    make_link("C-01:1", "C-02:1", code="1")
    make_link("C-02:2", "C-01:2", code="2")
    text = words(as_person(site_lead).get(ADDRESS))
    assert "which imitates its signal, which is not named yet, and" in text
    assert (
        "1 loop holds 2 of 2 links; opening it at 1 source frees all of it, "
        "and it is proved in 1 round while open, then closed." in text
    )


def test_links_of_one_source_are_lifted_and_joined_together(site_lead, as_person):
    """The clock drives two slots from one terminal, and both drive it back."""
    for code, source, load in (
        ("006", "A-02:4", "A-03:1"),
        ("007", "A-02:4", "A-04:1"),
        ("100", "A-03:2", "A-02:1"),
        ("101", "A-04:2", "A-02:1"),
        ("200", "A-04:2", "A-05:1"),
    ):
        make_link(source, load, code=code, signal="tide clock" if code < "100" else None)
    text = words(as_person(site_lead).get(ADDRESS))
    assert (
        "1 loop holds 4 of 5 links; opening it at 1 source frees every link in it, and all is proved in 1 layer, "
        "the loop in 1 round while open." in text
    )
    assert (
        "With the power off, lift the links of source A-02:4 there: 006 , 007 . Put a stand-in source on these wires, "
        "which imitates tide clock, and a stand-in load on terminal A-02:4 . This frees 2 further links." in text
    )
    assert (
        "With the power off, take the stand-ins off source A-02:4 and its wires, join these links again, "
        "and prove them with the loop closed: 006 , 007 ." in text
    )
    assert [row.links for row in order_now().steps if row.opening] == [(0, 1), (0, 1)]


def test_of_equal_openings_the_first_code_is_lifted(ring):
    Interconnect.objects.filter(code="216").update(code="200")
    make_link("D-11:9", "D-12:1", code="900")  # the wiring changes, so the order is worked out anew
    assert [kept.known.link_codes([kept.order.loops[0].openings[0].links[0]]) for kept in [order_now()]] == [["200"]]


def test_a_machine_without_loops_says_so():
    make_link("C-01:1", "C-02:1", code="1")
    make_link("C-02:2", "C-03:1", code="2")
    assert sentence(order_now()) == (
        "No loop holds any of the 2 links: all is proved in 2 layers, each after what comes before it."
    )


def test_a_machine_without_links_says_so(site_lead, as_person):
    text = words(as_person(site_lead).get(ADDRESS))
    assert "There are no links yet, so there is nothing to prove in order." in text


def test_a_stage_that_parts_the_ways_through_a_slot_breaks_a_loop(ring):
    """C-02 passes on only what comes in at 1 through its second stage, which terminal 2 does not leave."""
    design: Design = make_design("KS-240")
    Slot.objects.filter(code="C-02").update(design=design)
    first, second = (Stage.objects.create(design=design, name=name) for name in ("first", "second"))
    for stage, terminal, way in ((first, "1", "in"), (first, "8", "out"), (second, "9", "in"), (second, "2", "out")):
        StagePort.objects.create(stage=stage, terminal=terminal, way=way)
    for code in "89":
        Terminal.objects.create(slot=make_slot("C-02"), code=code)
    assert [loop.slots for _, loop in order_now().loops] == []


def test_the_order_is_worked_out_once_for_a_state_of_the_wiring(ring):
    first = order_now()
    assert order_now() is first
    make_link("D-11:4", "D-12:1", code="302")
    assert order_now() is not first
    assert "7 links" in sentence(order_now())


def test_a_long_order_comes_in_parts(site_lead, as_person):
    for number in range(160):
        make_link(f"C-{number:03}:1", f"C-{number + 1:03}:2", code=f"{number:03}")
    client = as_person(site_lead)
    assert "1 to 150 of 160 steps." in words(client.get(ADDRESS))
    last = words(client.get(f"{ADDRESS}?page=2"))
    assert "Layer 151" in last
    assert "Prove link 159" in last


def test_htmx_gets_the_steps_alone(ring, site_lead, as_person):
    client = as_person(site_lead)
    assert "2 loops hold" not in words(client.get(ADDRESS, headers={"HX-Request": "true"}))
    assert "2 loops hold" in words(client.get(ADDRESS))


def test_the_number_of_queries_does_not_grow(ring, site_lead, as_person):
    client = as_person(site_lead)
    client.get(ADDRESS)
    small = queries_of(client, ADDRESS)
    for number in range(40):
        make_link(f"E-{number:02}:1", f"F-{number:02}:1", code=f"there {number}")
        make_link(f"F-{number:02}:2", f"E-{number:02}:2", code=f"back {number}")
    client.get(ADDRESS)
    assert queries_of(client, ADDRESS) == small
    assert "And 17 smaller loops" in words(client.get(ADDRESS))
