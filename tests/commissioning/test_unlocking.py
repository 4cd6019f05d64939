"""What one thing would open most, on small machines worked by hand."""

import json
from random import Random

import pytest

from restoration.commissioning.gates import LINK_GATES
from restoration.commissioning.models import Standing
from restoration.commissioning.readiness import CHASSIS_GATES
from restoration.commissioning.services import recompute_all
from restoration.commissioning.today import openers
from restoration.commissioning.unlocking import (
    RACK_GATES_BEFORE,
    frees_in_words,
    say,
    sentence,
    waiting_links,
    what_opens_most,
)
from restoration.machine.models import Interconnect, Rack, Slot
from tests.commissioning.records import join, make_fit, may, pair, power_up, ring, sign_all
from tests.counting import queries_in, queries_of
from tests.factories import make_chassis, make_design, make_fitting, make_link, make_rack, make_slot
from tests.reading import words

pytestmark = pytest.mark.django_db


def stands(kind, item, gates, state="passed"):
    for gate in gates:
        Standing.objects.update_or_create(gate=gate, **{kind: item}, defaults={"state": state})


def live(code, *, upto=None):
    """A slot with a chassis in it that passed so many of its gates, in a rack that is open for fitting."""
    slot = make_slot(code, design=make_design("KS-207"))
    stands("rack", slot.rack, RACK_GATES_BEFORE)
    if not slot.fittings.exists():
        unit = make_chassis(f"SR-{code}", design=slot.design)
        make_fitting(unit, slot, fitted_by=pair()[0], at=may(1))
        stands("chassis", unit, CHASSIS_GATES[:upto])
    return slot


def wire(source, load, code, *, gates=2, **fields):
    link = make_link(source, load, code=code, **fields)
    stands("interconnect", link, LINK_GATES[:gates])
    return link


@pytest.fixture
def four_slots():
    """C-01 and C-02 are live; C-03 lacks HT; D-01 has no chassis. Six wires, of which C-03 holds three."""
    live("C-01")
    live("C-02")
    live("C-03", upto=7)
    make_slot("D-01", design=make_design("KS-240"), function="Drum")
    stands("rack", make_rack("D"), RACK_GATES_BEFORE)
    wire("C-01:1", "C-02:1", "1")  # waits for nothing
    wire("C-01:2", "C-03:1", "2", is_critical=True)
    wire("C-02:2", "C-03:2", "3")
    wire("C-02:3", "D-01:1", "4")
    wire("C-03:4", "D-01:2", "5")  # waits for both
    wire("C-01:6", "C-03:6", "6", gates=1)  # to be rung out first
    wire("C-01:7", "C-03:7", "7", gates=3)  # proved


def told(found):
    return [(row.kind, row.code, [link.code for link in row.frees]) for row in found.rows]


def test_the_missing_thing_that_frees_most_comes_first(four_slots):
    found = what_opens_most()
    assert told(found) == [("slot", "C-03", ["2", "3"]), ("slot", "D-01", ["4"])]
    first = found.rows[0]
    assert (first.unlock.links, first.unlock.weight, first.acts) == (2, 4, ("HT on",))
    assert [(row.thing.code, row.links) for row in first.unlock.together] == [("D-01", 1)]
    assert (found.held_count, found.thing_count) == (4, 2)


def test_it_is_said_in_a_sentence_with_the_links_it_frees(four_slots):
    found = what_opens_most()
    assert sentence(found) == "The chassis of slot C-03 would open most: it frees 2 links, 1 of them critical."
    assert say(found.rows[1]) == (
        "the chassis of slot D-01: allot it, then build it, then hand it over and receive it, then check it cold, then "
        "test it on the bench, then fit it, then bring its heaters up, then bring its HT up; waits for the site lead, "
        "to allot a chassis; frees 1 link."
    )


def test_a_gate_in_doubt_holds_as_one_not_passed(four_slots):
    unit = Slot.objects.get(code="C-01").fittings.get().chassis
    stands("chassis", unit, ["HT on"], "in doubt")
    found = what_opens_most()
    first = found.rows[0]
    assert (first.code, first.again, first.state.value) == ("C-01", ("HT on",), "in doubt")
    assert [link.code for link in first.frees] == ["1"]


def test_a_concession_stands(four_slots):
    stands("chassis", Slot.objects.get(code="C-03").fittings.get().chassis, CHASSIS_GATES, "on concession")
    assert told(what_opens_most()) == [("slot", "D-01", ["4", "5"])]


def test_a_chassis_counts_where_it_is_now_and_not_where_it_was(four_slots):
    unit = Slot.objects.get(code="C-02").fittings.get().chassis
    unit.fittings.update(removed_at=may(3), removed_by=pair()[0], removed_why="rework")
    make_fitting(unit, make_slot("C-09"), at=may(4))
    row = next(row for row in what_opens_most().rows if row.code == "C-02")
    assert [link.code for link in row.frees] == ["1"]  # 3 waits for C-03 besides, 4 for D-01


def test_a_wire_not_joined_holds_the_other_loads_of_its_source():
    for code in ("C-01", "C-02", "C-03"):
        live(code)
    wire("C-01:1", "C-02:1", "1")
    wire("C-01:1", "C-03:1", "2", is_critical=True)
    wire("C-01:1", "C-03:2", "3", gates=0)
    found = what_opens_most()
    assert told(found) == [("link", "3", ["1", "2"])]
    assert say(found.rows[0]) == (
        "link 3: join it; waits for a pair at the rack, with the power off; frees 2 links, 1 of them critical."
    )
    wire("C-01:1", "C-02:9", "4", gates=0)
    assert [(row.code, row.unlock.links, row.unlock.together[0].links) for row in what_opens_most().rows] == [
        ("3", 0, 2),
        ("4", 0, 2),
    ]
    wire("C-01:1", "C-02:8", "5", gates=0)
    assert what_opens_most().rows == ()


def test_a_rack_that_is_not_open_holds_its_wires_until_its_own_gates_stand():
    for code in ("C-01", "D-01", "D-02"):
        live(code)
    stands("rack", Rack.objects.get(code="D"), ["HT proved"], "in doubt")
    wire("D-01:1", "D-02:1", "1")
    wire("C-01:1", "D-02:2", "2")
    found = what_opens_most()
    assert told(found) == [("rack", "D", ["1", "2"])]
    assert say(found.rows[0]) == (
        "rack D itself: prove its HT supply again; waits for the power responsible person; frees 2 links."
    )


def test_a_rack_is_asked_only_for_its_own_links(four_slots):
    found = what_opens_most(Rack.objects.get(code="D"))
    assert told(found) == [("slot", "D-01", ["4"]), ("slot", "C-03", [])]
    assert sentence(found, "rack D") == "The chassis of slot D-01 would open most: it frees 1 link."


def test_a_machine_on_which_no_single_thing_helps_says_so():
    make_slot("C-01")
    stands("rack", make_rack("C"), RACK_GATES_BEFORE)
    make_slot("C-02")
    wire("C-01:1", "C-02:1", "1")
    assert sentence(what_opens_most()) == (
        "No single thing would free a link on the machine; 1 link waits for two or more."
    )
    assert openers() == []


def test_a_machine_without_wires_waits_for_nothing():
    assert sentence(what_opens_most()) == (
        "On the machine, no link that is joined and rung out waits for another thing before its signal is checked."
    )


@pytest.mark.parametrize(
    ("links", "weight", "said"),
    [
        (1, 1, "frees 1 link"),
        (1, 3, "frees 1 link, a critical one"),
        (2, 6, "frees 2 links, all of them critical"),
        (0, 0, "frees no link alone"),
    ],
)
def test_what_a_thing_frees_in_words(links, weight, said, four_slots):
    from restoration.engineering.unlock import Thing, Unlock

    assert frees_in_words(Unlock(Thing("slot", "C-01"), links, weight, ())) == said


def test_the_records_themselves_say_it_too():
    """A chassis fitted and rung out to, but not powered: after its HT the named link can be checked."""
    design = make_design("KS-207")
    units = [make_chassis(serial, design=design) for serial in ("SR-11", "SR-12")]
    for unit, code in zip(units, ("C-01", "C-02"), strict=True):
        make_fit(unit)
        make_fitting(unit, make_slot(code, design=design), fitted_by=pair()[0], at=may(5))
    power_up(units[0], 6)
    sign_all("rack", make_rack("C"), 4)
    link = make_link("C-01:1", "C-02:1", code="1")
    join(link, 6)
    ring(link, 7)
    recompute_all()
    assert told(what_opens_most()) == [("slot", "C-02", ["1"])]
    assert what_opens_most().rows[0].acts == ("heaters on", "HT on")
    power_up(units[1], 8)
    recompute_all()
    assert what_opens_most().rows == ()
    assert list(waiting_links().values_list("code", flat=True)) == ["1"]


def make_random_machine(random, slots, links):
    """Slots live or not, racks open or not, wires at any stage."""
    codes = [f"{'CDE'[number % 3]}-{number:02}" for number in range(slots)]
    for code in codes:
        live(code, upto=random.choice([len(CHASSIS_GATES), len(CHASSIS_GATES), 5]))
    for code in "CDE"[: min(3, slots)]:
        if random.random() < 0.3:
            stands("rack", Rack.objects.get(code=code), ["bonded"], "failed")
    for number in range(links):
        source, load = (f"{random.choice(codes)}:{random.randrange(4)}" for _ in "ab")
        critical = random.choice([True, False, None])
        wire(source, load, f"{number:03}", gates=random.choice([1, 2, 2, 2, 3, 0]), is_critical=critical)


def make_done(row):
    if row.kind == "rack":
        stands("rack", Rack.objects.get(code=row.code), RACK_GATES_BEFORE)
    elif row.kind == "link":
        stands("interconnect", Interconnect.objects.get(code=row.code), ["joined"])
    else:
        stands("chassis", Slot.objects.get(code=row.code).fittings.get().chassis, CHASSIS_GATES)


def checkable():
    """The links that wait for nothing, gone through one by one and apart from the ranking."""
    links = waiting_links().select_related("source__slot__rack", "load__slot__rack")
    return {link.code for link in links if _can(link)}


def _can(link):
    passed = ["passed", "on concession"]
    for slot in (link.source.slot, link.load.slot):
        unit = slot.fittings.get(removed_at=None).chassis
        if set(unit.standings.filter(state__in=passed).values_list("gate", flat=True)) < set(CHASSIS_GATES):
            return False
        if slot.rack.standings.filter(state__in=passed).count() < len(RACK_GATES_BEFORE):
            return False
    brothers = Interconnect.objects.filter(source=link.source).exclude(pk=link.pk)
    return all(other.standings.filter(gate="joined", state__in=passed).exists() for other in brothers)


@pytest.mark.parametrize("seed", range(6))
def test_doing_the_first_thing_really_frees_the_links_it_names(seed):
    make_random_machine(Random(seed), 7, 40)
    for _ in range(3):
        found = what_opens_most(shown=100)
        if not found.rows or not found.rows[0].unlock.links:
            return
        first, before = found.rows[0], checkable()
        assert all(len(row.frees) == row.unlock.links for row in found.rows)
        make_done(first)
        named = {link.code for link in first.frees}
        gone = {first.code} if first.kind == "link" else set()
        assert checkable() - gone == before | named


def asked():
    """The queries for the machine, and for a rack."""
    rack = Rack.objects.get(code="C")
    return queries_in(lambda: what_opens_most(shown=100)), queries_in(lambda: what_opens_most(rack))


def test_the_number_of_queries_does_not_grow():
    make_random_machine(Random(1), 5, 20)
    wire("C-00:1", "D-01:1", "missing a load")
    small = asked()
    make_random_machine(Random(2), 9, 0)
    for number in range(60):
        wire(f"C-00:{number}", f"D-0{1 + 3 * (number % 2)}:{number}", f"more {number}")
    assert asked() == small


# the pages


def test_the_page_names_the_things_and_the_links_they_free(four_slots, site_lead, as_person):
    answer = as_person(site_lead).get("/what-opens-most/")
    text = words(answer)
    assert "The chassis of slot C-03 would open most: it frees 2 links, 1 of them critical." in text
    assert "2 , slot C-01 to slot C-03 , critical" in text
    assert "With the chassis of slot D-01 also done: 1 more link." in text
    assert "A link marked critical counts 3 times. That weight is a placeholder" in text


def test_the_page_of_a_rack_asks_for_its_links_only(four_slots, site_lead, as_person):
    client = as_person(site_lead)
    assert "The chassis of slot D-01 would open most: it frees 1 link." in words(client.get("/what-opens-most/D/"))
    assert client.get("/what-opens-most/Z/").status_code == 404


def test_a_page_with_nothing_missing_says_so(site_lead, as_person):
    assert "Nothing is missing for a link that is ready itself." in words(as_person(site_lead).get("/what-opens-most/"))


def test_today_and_the_rack_show_what_opens_most(four_slots, site_lead, as_person):
    client = as_person(site_lead)
    today = words(client.get("/"))
    assert "What one thing would open most" in today
    assert "frees 2 links, 1 of them critical. To do: bring its HT up. Waits for" in today
    rack = words(client.get("/machine/racks/of/C/"))
    assert "What one thing would open most here" in rack


def test_the_queries_of_the_page_do_not_grow(site_lead, as_person):
    client = as_person(site_lead)
    make_random_machine(Random(1), 5, 20)
    small = queries_of(client, "/what-opens-most/")
    for number in range(40):
        wire(f"C-00:{number}", f"D-01:{number}", f"more {number}")
    assert queries_of(client, "/what-opens-most/") == small


# the command


def test_the_command_says_what_opens_most(four_slots, run_command):
    status, out, _ = run_command("what_opens_most")
    assert status == 0
    assert "1. The chassis of slot C-03: bring its HT up; waits for" in out
    assert "2, 3" in out
    assert "With the chassis of slot D-01: 1 more." in out


def test_the_command_answers_a_program(four_slots, run_command):
    status, out, _ = run_command("what_opens_most", "--rack", "D", "--json")
    answer = json.loads(out)
    assert (status, answer["rack"], answer["critical_weight"], answer["held_links"]) == (0, "D", 3, 2)
    first = answer["unlocks"][0]
    assert (first["kind"], first["code"], first["frees"]) == ("slot", "D-01", ["4"])
    assert (first["links"], first["weight"]) == (1, 1)
    assert first["together"] == [{"kind": "slot", "code": "C-03", "links": 1, "weight": 1}]


def test_the_command_says_no_where_nothing_opens_a_link(run_command):
    assert run_command("what_opens_most")[0] == 1


def test_the_command_refuses_what_is_no_text(four_slots, run_command):
    status, _, refusal = run_command("what_opens_most", "--rack", "\udcff", "--json")
    assert (status, refusal.strip()) == (2, "There is no rack “\\udcff”. The racks are: C, D.")


def test_the_command_refuses_a_rack_that_is_not_there(four_slots, run_command):
    status, out, refusal = run_command("what_opens_most", "--rack", "Z", "--json")
    assert status == 2
    assert refusal.strip() == "There is no rack “Z”. The racks are: C, D."
    assert json.loads(out) == {"refused": ["There is no rack “Z”. The racks are: C, D."]}
