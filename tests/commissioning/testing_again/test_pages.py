"""The page of what to test again, its numbered sheet, and the page that takes the results."""

import uuid

import pytest
from django.urls import reverse

from restoration.commissioning.models import AgainSheet, GateRecord, Standing
from restoration.commissioning.services import recompute_all
from restoration.commissioning.testing_again import Question, walk_for
from restoration.commissioning.testing_again.sheets import make_sheet
from restoration.logbook.models import Entry
from restoration.proving.models import RingOut, SignalCheck
from tests.commissioning.records import check, join, power_up, ring
from tests.counting import queries_of
from tests.factories import make_link

pytestmark = pytest.mark.django_db
NEW, AGAIN = "commissioning:again-sheet-new", "commissioning:again"


@pytest.fixture
def sheet(swapped, tester):
    return make_sheet(question=Question(), walk=walk_for(Question()), by=tester)


def numbers(sheet):
    """The number of each row of interconnects: {(code, gate): number}."""
    walked = [row for row in sheet.rows if not row["apart"]]
    return {(row["code"], row["gate"]): number for number, row in enumerate(walked, start=1)}


def sent(tester, second, **rows):
    heading = {
        "form_token": str(uuid.uuid4()),
        "done_by": tester.pk,
        "second_person": second.pk,
        "done_at": "",
        "probe": "10",
        "probe_allowed_for": "on",
    }
    return {**heading, **rows}


def rung(sheet, code, ohm="0.4", **more):
    name = f"row-{numbers(sheet)[code, 'rung out']}"
    return {f"{name}-both_labels_read": "on", f"{name}-resistance_ohm": ohm, f"{name}-to_chassis_ohm": "22M", **more}


def seen(sheet, code, volts="17", micros="2.5"):
    name = f"row-{numbers(sheet)[code, 'signal-checked']}"
    return {f"{name}-amplitude": volts, f"{name}-pulse_duration": micros, f"{name}-all_loads": "on"}


def state(link, gate):
    return Standing.objects.get(interconnect=link, gate=gate).state


def test_the_page_says_how_much_there_is_and_why(swapped, builder, as_person):
    page = as_person(builder).get(reverse(AGAIN)).content.decode()
    assert "4 checks to make again at racks B, C: 2 dead, 2 live." in page
    assert "link 214: digit pulse" in page
    assert "amplitude 15 to 20" in page
    assert "Make a sheet to print" not in page


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        ({"slot": "Z-99"}, "There is no slot “Z-99”; give the code as it is painted."),
        ({"link": "nine"}, "There is no link “nine”; give the code as it is painted."),
        ({"rack": "Q"}, "There is no rack “Q”; give the code as it is painted."),
        ({"change": "99"}, "There is no change 99."),
        ({"change": "seven"}, "A change has a number, such as 7."),
        ({"change": "0"}, "Changes are numbered from 1."),
        ({"since": "last week"}, "Give a day as year-month-day, such as 2026-05-03."),
    ],
)
def test_what_cannot_be_asked_is_said_in_a_sentence(asked, sentence, swapped, tester, as_person):
    for name in (AGAIN, NEW):
        answer = as_person(tester).get(reverse(name), asked)
        assert answer.status_code == 422
        assert sentence in answer.content.decode()


def test_the_command_refuses_what_is_no_text(swapped, run_command):
    status, _, refusal = run_command("what_to_recheck", "--slot", "\udcff")
    assert (status, refusal) == (2, "--slot: There is no slot “\\udcff”; give the code as it is painted.\n")


def test_a_sheet_is_made_once_and_keeps_its_rows(swapped, tester, as_person):
    client, address = as_person(tester), f"{reverse(NEW)}?slot=C-04"
    assert client.get(address).status_code == 200
    words = {"form_token": str(uuid.uuid4())}
    assert client.post(address, words).url == client.post(address, words).url
    kept = AgainSheet.objects.get()
    assert kept.asks == "what is in doubt at slot C-04"
    order = list(numbers(kept))
    ring(swapped.links["215"], 4)
    recompute_all()
    page = client.get(kept.get_absolute_url()).content.decode()
    assert list(numbers(AgainSheet.objects.get())) == order
    assert f"{len(order)} checks, {len(order) - 1} still open." in page
    assert Entry.objects.filter(act="sheet made").count() == 1


def test_no_sheet_is_made_of_nothing(swapped, tester, as_person):
    answer = as_person(tester).post(f"{reverse(NEW)}?link=300", {"form_token": str(uuid.uuid4())})
    assert answer.status_code == 422
    assert "nothing is to be tested again now, so there is no sheet." in answer.content.decode()
    assert not AgainSheet.objects.exists()


def test_every_row_of_the_sheet_has_its_square_code_limits_and_last_good(sheet, tester, as_person):
    page = as_person(tester).get(sheet.get_absolute_url()).content.decode()
    rows = [row for row in sheet.rows if not row["apart"]]
    assert page.count('class="square-code"') == len(rows) + 1
    assert "end to end at most 5 Ω; to the chassis at least 100 Ω" in page
    assert "0.4 Ω end to end" in page


def test_results_become_records_in_the_order_of_the_sheet(sheet, swapped, tester, second_tester, as_person):
    client = as_person(tester)
    address = reverse("commissioning:again-enter", args=[sheet.pk])
    page = client.get(address).content.decode()
    assert page.index('id="row-1"') < page.index('id="row-2"')
    words = sent(tester, second_tester, **rung(sheet, "214"), **rung(sheet, "215"), **seen(sheet, "214"))
    answer = client.post(address, words)
    assert answer.url == sheet.get_absolute_url()
    assert client.post(address, words).url == sheet.get_absolute_url()
    assert RingOut.objects.filter(remarks=f"From sheet {sheet.pk}.").count() == 2
    made = SignalCheck.objects.get(remarks=f"From sheet {sheet.pk}.")
    assert (made.result, made.interconnect, made.second_person) == ("passed", swapped.links["214"], second_tester)
    assert state(swapped.links["214"], "signal-checked") == "passed"
    assert state(swapped.links["215"], "rung out") == "passed"
    assert state(swapped.links["215"], "signal-checked") == "in doubt"
    shown = client.get(address).content.decode()
    assert shown.count("Answered: it is passed now.") == 3
    assert "Recorded: 3 results: 3 passed." in client.get(sheet.get_absolute_url()).content.decode() + shown


def test_one_wrong_row_stores_nothing_and_keeps_what_was_written(sheet, swapped, tester, second_tester, as_person):
    before = (RingOut.objects.count(), SignalCheck.objects.count(), Entry.objects.count())
    address = reverse("commissioning:again-enter", args=[sheet.pk])
    words = sent(tester, second_tester, **rung(sheet, "214"), **rung(sheet, "215", ohm="a lot"))
    answer = as_person(tester).post(address, words)
    assert answer.status_code == 422
    page = answer.content.decode()
    row = numbers(sheet)["215", "rung out"]
    assert f"Nothing is stored yet: look again at row {row}, where it says what to mend." in page
    assert 'value="a lot"' in page
    assert 'value="22M"' in page
    assert (RingOut.objects.count(), SignalCheck.objects.count(), Entry.objects.count()) == before


def test_what_a_service_refuses_names_its_row_and_stores_nothing(sheet, tester, second_tester, as_person):
    words = sent(tester, second_tester, **rung(sheet, "214"), **rung(sheet, "215"))
    row = numbers(sheet)["215", "rung out"]
    del words[f"row-{row}-both_labels_read"]
    before = RingOut.objects.count()
    answer = as_person(tester).post(reverse("commissioning:again-enter", args=[sheet.pk]), words)
    assert answer.status_code == 422
    assert f"Row {row} (interconnect 215): A wire is rung out with the labels read" in answer.content.decode()
    assert RingOut.objects.count() == before


def test_a_signal_needs_its_pair(sheet, tester, second_tester, as_person):
    words = sent(tester, second_tester, **seen(sheet, "214")) | {"second_person": ""}
    answer = as_person(tester).post(reverse("commissioning:again-enter", args=[sheet.pk]), words)
    assert answer.status_code == 422
    assert "A signal check on a live rack is made by two; say who the second person was." in answer.content.decode()


def test_an_empty_page_is_told_so(sheet, tester, second_tester, as_person):
    address = reverse("commissioning:again-enter", args=[sheet.pk])
    answer = as_person(tester).post(address, sent(tester, second_tester))
    assert answer.status_code == 422
    assert "No row is filled in yet" in answer.content.decode()


def test_a_figure_far_off_is_asked_about_before_it_is_stored(sheet, tester, second_tester, as_person):
    client, address = as_person(tester), reverse("commissioning:again-enter", args=[sheet.pk])
    words = sent(tester, second_tester, **seen(sheet, "214", volts="1.7"))
    answer = client.post(address, words)
    assert answer.status_code == 422
    assert "Mend it, or tick that you looked again." in answer.content.decode()
    row = numbers(sheet)["214", "signal-checked"]
    assert client.post(address, {**words, f"row-{row}-looked": "on"}).status_code == 302
    assert SignalCheck.objects.order_by("pk").last().result == "failed"


def test_a_builder_finds_no_row_to_sign(sheet, builder, tester, second_tester, as_person):
    client, address = as_person(builder), reverse("commissioning:again-enter", args=[sheet.pk])
    assert client.get(sheet.get_absolute_url()).status_code == 200
    assert "Record the results" not in client.get(address).content.decode()
    before = RingOut.objects.count()
    assert client.post(address, sent(tester, second_tester, **rung(sheet, "214"))).status_code == 422
    assert RingOut.objects.count() == before


def test_power_is_signed_for_by_whoever_may_and_by_nobody_else(swapped, tester, second_tester, power_person, as_person):
    power_up(swapped.new, 3)
    recompute_all()
    Standing.objects.filter(chassis=swapped.new, gate="HT on").update(state="in doubt")
    sheet = make_sheet(question=Question(), walk=walk_for(Question()), by=tester)
    row = next(n for n, row in enumerate((r for r in sheet.rows if not r["apart"]), 1) if row["gate"] == "HT on")
    address = reverse("commissioning:again-enter", args=[sheet.pk])
    assert f'name="row-{row}-seen"' not in as_person(tester).get(address).content.decode()
    words = sent(power_person, tester, **{f"row-{row}-result": "passed", f"row-{row}-seen": "251 V, 40 mA"})
    assert as_person(power_person).post(address, words).status_code == 302
    made = GateRecord.objects.order_by("pk").last()
    assert (made.gate, made.result, made.seen, made.remarks) == (
        "HT on",
        "passed",
        "251 V, 40 mA",
        f"From sheet {sheet.pk}.",
    )


def test_as_many_questions_to_the_database_for_a_long_sheet(sheet, swapped, tester, as_person):
    client = as_person(tester)
    addresses = [reverse(AGAIN), sheet.get_absolute_url(), reverse("commissioning:again-enter", args=[sheet.pk])]
    few = [queries_of(client, address) for address in addresses]
    for number in range(8):
        link = make_link(f"B-05:{number + 20}", f"C-04:{number + 20}", code=f"4{number}", signal="end carry")
        for act in (join, ring, check):
            act(link, 2)
    recompute_all()
    longer = make_sheet(question=Question(), walk=walk_for(Question()), by=tester)
    assert len(longer.rows) == len(sheet.rows) + 16
    addresses = [reverse(AGAIN), longer.get_absolute_url(), reverse("commissioning:again-enter", args=[longer.pk])]
    assert [queries_of(client, address) for address in addresses] == few
