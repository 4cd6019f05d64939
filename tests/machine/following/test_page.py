"""The page of a followed signal: both ways, terminals, links, folds, loops, and places that are not there."""

import html
import re
from collections.abc import Callable

import pytest
from django.test import Client
from django.urls import reverse

from restoration.commissioning.models import Standing
from restoration.people.models import Person
from tests.counting import queries_of
from tests.factories import make_chassis, make_fitting, make_link, make_rack, make_slot, make_terminal
from tests.reading import words

pytestmark = pytest.mark.django_db
ODD = "C/07+\"<&>'#~%é:1"


@pytest.fixture
def client(as_person: Callable[[Person], Client], tester: Person) -> Client:
    return as_person(tester)


def look(client: Client, status: int = 200, **query: object) -> str:
    answer = client.get(reverse("machine:follow"), query)
    assert answer.status_code == status
    return answer.content.decode()


def plates(page: str) -> list[str]:
    """The codes on the plates of the drawing, in the order drawn."""
    drawing = page[page.index('<svg class="follow"') : page.index('<p class="key">')]
    return [html.unescape(code) for code in re.findall(r'class="code"[^>]*>(?:<title>[^<]*</title>)?([^<]*)<', drawing)]


def links_to(page: str, words_of_link: str) -> list[str]:
    return [
        html.unescape(at) for at, said in re.findall(r'<a href="([^"]*)">([^<]*)</a>', page) if said == words_of_link
    ]


def make_chain() -> None:
    make_link("A-01:7", "B-01:1", code="1")
    make_link("B-01:8", "C-01:2", code="2")
    make_link("C-01:9", "D-01:3", code="3")


class TestWays:
    def test_without_a_place_there_is_a_form(self, client):
        page = look(client)
        assert 'name="from"' in page
        assert '<svg class="follow"' not in page

    def test_downstream_runs_to_what_is_driven(self, client):
        make_chain()
        page = look(client, **{"from": "A-01"})
        assert plates(page) == ["A-01", "B-01", "C-01", "D-01"]
        assert "A-01 drives 3 slots over 3 links, the farthest 3 hops away." in words(page)

    def test_upstream_runs_to_what_drives_with_the_start_on_the_right(self, client):
        make_chain()
        page = look(client, **{"from": "C-01", "way": "up"})
        assert plates(page) == ["C-01", "B-01", "A-01"]
        assert "2 slots drive C-01 over 2 links, the farthest 2 hops away." in words(page)
        assert re.findall(r'class="face" x="(\d+)', page) == sorted(re.findall(r'class="face" x="(\d+)', page))[::-1]

    def test_from_a_terminal_only_what_it_drives(self, client):
        make_chain()
        make_link("A-01:6", "E-01:1", code="4")
        assert plates(look(client, **{"from": "A-01:6"})) == ["A-01", "E-01"]

    def test_from_a_link_it_is_the_first_hop(self, client):
        make_chain()
        make_link("B-01:6", "E-01:1", code="4")
        assert plates(look(client, link="2")) == ["B-01", "C-01", "D-01"]
        assert plates(look(client, link="2", way="up")) == ["C-01", "B-01", "A-01"]

    def test_as_many_hops_as_asked_and_the_rest_is_said(self, client):
        make_chain()
        page = look(client, **{"from": "A-01", "hops": "1"})
        assert plates(page) == ["A-01", "B-01"]
        (opens,) = set(links_to(page, "and 2 more beyond slot B-01"))
        opened = client.get(reverse("machine:follow") + opens).content.decode()
        assert plates(opened) == ["A-01", "B-01", "C-01"]
        assert "and 1 more beyond slot C-01" in opened
        assert "Fold it again" in opened

    def test_to_the_end(self, client):
        for at in range(1, 20):
            make_link(f"A-{at:02}:o", f"A-{at + 1:02}:i")
        assert len(plates(look(client, **{"from": "A-01", "hops": "all"}))) == 20

    def test_nothing_is_driven(self, client):
        make_slot("A-01")
        assert "Nothing is driven from A-01." in words(look(client, **{"from": "A-01"}))
        assert "Nothing drives A-01." in words(look(client, **{"from": "A-01", "way": "up"}))

    def test_links_on_the_pages_of_a_slot_and_a_link_lead_here(self, client):
        make_chain()
        page = client.get(reverse("machine:slot-detail", args=["B-01"])).content.decode()
        found = links_to(page, "Follow on") + links_to(page, "Follow back") + links_to(page, "upstream")
        page = client.get(reverse("machine:interconnect-detail", args=["2"])).content.decode()
        found += links_to(page, "Follow downstream") + links_to(page, "upstream")
        assert len(found) == 5
        assert [len(plates(client.get(at).content.decode())) for at in found] == [3, 2, 2, 3, 3]


class TestRefusals:
    @pytest.mark.parametrize(
        ("query", "status", "sentence"),
        [
            (
                {"from": "Z-99"},
                404,
                "There is no slot “Z-99”; give a slot by its code, or a terminal as slot:terminal.",
            ),
            ({"from": "A-01:99"}, 404, "Slot A-01 has no terminal “99”; it has 7."),
            ({"link": "99"}, 404, "There is no link “99” on the wire list; give the code of a link as it is listed."),
            ({"from": "A-01", "way": "round"}, 422, "A signal is followed down or up; “round” was given."),
            ({"from": "A-01", "hops": "0"}, 422, "A signal is followed 1 to 12 hops, or “all” of them; “0” was given."),
            (
                {"from": "A-01", "hops": "-1"},
                422,
                "A signal is followed 1 to 12 hops, or “all” of them; “-1” was given.",
            ),
            ({"from": "A-01", "hops": "²"}, 422, "A signal is followed 1 to 12 hops, or “all” of them; “²” was given."),
            (
                {"from": "A-01", "link": "1"},
                422,
                "A signal is followed from a slot, a terminal or a link; give one of them and leave the rest empty.",
            ),
        ],
    )
    def test_what_cannot_be_followed_is_said_above_the_form(self, client, query, status, sentence):
        make_chain()
        page = look(client, status, **query)
        assert sentence in words(page)
        assert f'value="{query.get("from", "")}"' in page

    def test_what_was_unfolded_and_is_not_there_unfolds_nothing(self, client):
        make_chain()
        query = {"from": "A-01", "open": ["Z-99", "D-01"], "rack": ["", "Q"], "hop": ["x", "999999", "²"]}
        assert len(plates(look(client, **query))) == 4

    def test_a_nul_names_nothing(self, client):
        make_chain()
        look(client, 404, **{"from": "A\0"})
        look(client, 404, link="\0")


class TestLoops:
    def test_a_wire_back_is_drawn_back_and_says_whereto(self, client):
        make_chain()
        make_link("C-01:9", "A-01:1", code="back")
        page = look(client, **{"from": "A-01"})
        assert "9 back to slot A-01" in words(page)
        assert page.count('class="wire back"') == 1
        assert "reached before" in words(page)

    def test_a_wire_within_a_hop_leads_across(self, client):
        make_chain()
        make_link("A-01:6", "E-01:1", code="4")
        make_link("E-01:6", "B-01:4", code="5")
        assert "6 across to slot B-01" in words(look(client, **{"from": "A-01"}))

    def test_a_wire_into_its_own_slot(self, client):
        make_link("A-01:7", "A-01:1")
        page = look(client, **{"from": "A-01"})
        assert "A-01 leads only back to its own slot, over 1 link." in words(page)
        assert "7 back to its own slot" in words(page)

    def test_many_wires_back_end_where_they_say_whereto(self, client):
        for at in range(2, 18):
            make_link("A-01:7", f"B-{at:02}:1")
            make_link(f"B-{at:02}:8", f"A-01:{at}")
        page = look(client, **{"from": "A-01"})
        assert words(page).count("8 back to slot A-01") == 16
        assert 'class="wire back"' not in page

    def test_parallel_wires_are_each_drawn(self, client):
        for at in range(5):
            make_link("A-01:7", f"B-01:{at}", code=f"W{at}")
        page = look(client, **{"from": "A-01"})
        assert page.count('<path class="wire"') == 5
        assert all(f">W{at}</span>" in page for at in range(5))

    def test_more_wires_than_a_plate_names_come_together(self, client):
        for at in range(20):
            make_link(f"A-01:{at}", f"B-01:{at}")
        page = look(client, **{"from": "A-01"})
        assert page.count('<path class="wire"') == 8
        assert page.count('<path class="wire many"') == 1
        assert "12 links" in words(page)


class TestFolding:
    @pytest.fixture
    def fan(self) -> None:
        for at in range(300):
            make_link("A-01:7", f"{'BCDEFG'[at % 6]}-{at:03}:1", code=f"W{at}")

    def test_three_hundred_loads_are_folded_by_rack(self, client, fan):
        page = look(client, **{"from": "A-01"})
        assert plates(page) == ["A-01"]
        assert all(f"50 slots in rack {rack}" in page for rack in "BCDEFG")
        assert "A-01 drives 300 slots over 300 links, the farthest 1 hop away." in words(page)
        assert "A-01 terminal 7" in words(page)

    def test_a_rack_is_unfolded_by_its_link(self, client, fan):
        (opens,) = set(links_to(look(client, **{"from": "A-01"}), "50 slots in rack D"))
        page = client.get(reverse("machine:follow") + opens).content.decode()
        assert len(plates(page)) == 51
        assert "50 slots in rack E" in page
        assert "50 slots in rack D" not in page

    def test_a_whole_hop_is_unfolded_up_to_what_a_sheet_takes(self, client, fan):
        assert len(plates(look(client, **{"from": "A-01", "hop": "1"}))) == 300

    def test_racks_past_the_room_share_one_plate(self, client):
        for at in range(40):
            make_slot(f"R{at}-1", rack=make_rack(f"R{at}"))
            make_slot(f"R{at}-2", rack=make_rack(f"R{at}"))
            make_link("A-01:7", f"R{at}-1:1")
            make_link("A-01:7", f"R{at}-2:1")
        page = look(client, **{"from": "A-01"})
        (opens,) = set(links_to(page, "46 slots in 23 racks"))
        assert opens.endswith("hop=1")

    def test_by_default_a_sheet_has_about_forty_plates(self, client):
        for at in range(1, 400):
            make_link(f"S-{(at - 1) // 3:03}:o", f"S-{at:03}:i")
        page = look(client, **{"from": "S-000", "hops": "all"})
        assert len(re.findall('class="face"', page)) <= 41
        shown = len(plates(page)) - 1
        beyond = sum(int(count) for count in re.findall(r">and (\d+) more beyond", page[: page.index("<h2")]))
        folded = sum(int(count) for count in re.findall(r">(\d+) slots in rack", page[: page.index("<h2")]))
        assert shown + beyond + folded == 399

    def test_slots_in_no_rack_are_folded_together_and_unfolded(self, client):
        for at in range(30):
            make_slot(f"X{at}", rack=None)
            make_link("A-01:7", f"X{at}:1")
        (opens,) = set(links_to(look(client, **{"from": "A-01"}), "30 slots in no rack"))
        assert len(plates(client.get(reverse("machine:follow") + opens).content.decode())) == 31


class TestMarks:
    def test_plates_and_wires_carry_their_marks(self, client, tester):
        link = make_link("A-01:7", "B-01:1", code="W1", signal="digit pulse")
        unit = make_chassis("SR-14")
        make_fitting(unit, make_slot("B-01"), fitted_by=tester)
        Standing.objects.create(chassis=unit, gate="fitted", state="in doubt")
        Standing.objects.create(interconnect=link, gate="joined", state="failed")
        page = look(client, **{"from": "A-01"})
        assert "<title>fitted: in doubt</title>" in page
        assert "<title>B-01: in doubt</title>" in page
        assert "<title>A-01: empty</title>" in page
        assert "<title>link W1: failed</title>" in page
        assert "digit pulse" in words(page)

    def test_a_lifted_wire_is_drawn_apart(self, client):
        link = make_link("A-01:7", "B-01:1")
        Standing.objects.create(interconnect=link, gate="joined", state="withdrawn")
        assert 'class="wire lifted"' in look(client, **{"from": "A-01"})


class TestCodes:
    def test_any_sign_may_stand_in_a_code(self, client):
        slot = make_slot(ODD, rack=make_rack("R<1>&"))
        far = make_slot(f"{ODD}2", rack=make_rack("R<1>&"))
        source, load = slot.terminals.create(code='"<7>'), far.terminals.create(code="é&#:")
        link = make_link("A-01:1", "A-02:1", code=f"{ODD}L")
        link.source, link.load = source, load
        link.save()
        for query in ({"from": ODD}, {"from": f'{ODD}:"<7>'}, {"link": f"{ODD}L"}):
            page = look(client, **query)
            assert len(re.findall('class="face"', page)) == 2
            assert "<7>" not in page
            for address in set(re.findall(r'href="([^"]+)"', page[page.index('<svg class="follow"') :])):
                at = html.unescape(address)
                if not at.startswith("#"):
                    at = reverse("machine:follow") + at if at.startswith("?") else at
                    assert client.get(at).status_code == 200, at

    def test_long_codes_are_cut_on_the_plate_and_whole_in_its_title(self, client):
        make_link("A-01:7", f"{'L' * 50}:1")
        page = look(client, **{"from": "A-01"})
        assert f"<title>{'L' * 50}</title>{'L' * 13}…" in page


def test_the_number_of_queries_stays(client):
    make_chain()
    few = queries_of(client, "/machine/follow/?from=A-01")
    for at in range(60):
        make_link(f"A-01:{at}", f"B-{at:02}:1")
        make_link(f"B-{at:02}:8", f"C-{at:02}:1")
    make_terminal("A-01:x")
    client.get("/machine/follow/?from=A-01")  # the wiring is read anew
    many = queries_of(client, "/machine/follow/?from=A-01")
    assert many <= few + 2  # the codes of folded racks and of the terminals that lead to them


def test_nothing_stands_inline(client):
    make_chain()
    page = look(client, **{"from": "A-01"})
    assert " style=" not in page
    assert "<script>" not in page
