import json

import pytest

from restoration.commissioning.models import GateRecord
from restoration.commissioning.readiness import acts_in_words, as_json, chassis_meant_for, readiness_of, say, sentence
from restoration.commissioning.services import recompute_all
from restoration.machine.models import Chassis, Interconnect
from tests.commissioning.records import fault, join, make_fit, may, pair, power_up, prove, sign_all, step
from tests.factories import make_chassis, make_design, make_fitting, make_link, make_rack, make_slot

pytestmark = pytest.mark.django_db


@pytest.fixture
def rack_c(builder):
    """Rack C with its own gates signed: C-01 fitted and powered, C-07 waits for its builder; three wires, one to D."""
    design = make_design("KS-207")
    rack = make_rack("C", function="constituents and sum")
    fitted = make_chassis("SR-11", design=design)
    make_fit(fitted)
    make_fitting(
        fitted, make_slot("C-01", design=design, function="Summing register, low"), fitted_by=pair()[0], at=may(5)
    )
    power_up(fitted)
    sign_all("rack", rack, 4)
    on_its_way = make_chassis("SR-14", design=design, builder=builder)
    step(on_its_way, 1, "allotted")
    step(on_its_way, 2, "built")
    make_slot("C-07", design=design, function="Summing register, high")
    make_slot("D-02", design=make_design("KS-240"))
    prove(make_link("C-01:1", "C-01:2", code="1"), 6)
    join(make_link("C-01:1", "C-07:2", code="2"), 6)
    make_link("C-07:3", "D-02:4", code="3")
    recompute_all()
    return rack


def test_a_rack_says_what_is_missing_nearest_first_and_on_whom_it_waits(rack_c):
    answer = readiness_of([rack_c])[0]
    assert not answer.is_ready
    assert [(item.kind, item.code, item.distance) for item in answer.missing] == [
        ("slot", "C-07", 6),
        ("link", "2", 8),
        ("link", "3", 17),  # three acts of its own, six on SR-14, eight on the chassis nobody has for D-02
    ]
    chassis = answer.missing[0]
    assert chassis.waits_for == "Pilar Ortuno"
    assert chassis.acts == ("received", "cold-checked", "bench-tested", "fitted", "heaters on", "HT on")
    assert chassis.frees == 2


def test_a_chassis_sent_back_waits_for_its_builder_again(rack_c):
    unit = Chassis.objects.get(serial="SR-14")
    step(unit, 3, "handed over")
    assert readiness_of([rack_c])[0].missing[0].waits_for == "the site team"
    step(unit, 4, "sent back", "R12 runs hot")
    assert readiness_of([rack_c])[0].missing[0].waits_for == "Pilar Ortuno"


def test_a_chassis_without_a_builder_waits_for_the_site_lead(rack_c):
    Chassis.objects.filter(serial="SR-14").update(builder=None)
    assert readiness_of([rack_c])[0].missing[0].waits_for == "the site lead, to allot it to a builder"


def test_a_slot_without_a_design_holds_its_rack_and_its_wires():
    rack = make_slot("K-01").rack
    make_link("K-01:1", "K-01:2", code="5")
    own, slot, link = readiness_of([rack])[0].missing
    assert own.kind == "rack"
    assert (slot.acts[0], slot.waits_for) == ("name its design", "the drawings keeper, to name its design")
    assert link.waits_for == "the chassis of slot K-01"


def test_what_stood_once_is_to_be_done_again(rack_c):
    fault(Interconnect.objects.get(code="1"), 8)
    recompute_all()
    item = readiness_of([rack_c])[0].missing[0]
    assert acts_in_words(item).startswith("check its signal again, then cure fault")


def test_the_gates_are_counted(rack_c):
    counts = {count.gate: (count.good, count.total) for count in readiness_of([rack_c])[0].gates}
    assert counts == {
        "allotted": (2, 2),
        "built": (2, 2),
        "received": (1, 2),
        "cold-checked": (1, 2),
        "bench-tested": (1, 2),
        "fitted": (1, 2),
        "heaters on": (1, 2),
        "HT on": (1, 2),
        "joined": (2, 3),
        "rung out": (1, 3),
        "signal-checked": (1, 3),
    }


def test_the_answer_is_one_sentence(rack_c):
    assert sentence(readiness_of([rack_c])[0]) == (
        "Not ready: 3 things are missing. Nearest: chassis for slot C-07: hand it over and receive it, "
        "then check it cold, then test it on the bench, then fit it, then bring its heaters up, then bring its HT up; "
        "waits for Pilar Ortuno."
    )


def test_a_finished_rack_is_ready_until_a_fault_is_logged():
    design = make_design("KS-207")
    rack, slot = make_rack("E"), make_slot("E-01", design=design)
    unit = make_chassis("SR-20", design=design)
    make_fit(unit)
    make_fitting(unit, slot, fitted_by=pair()[0], at=may(5))
    power_up(unit)
    sign_all("rack", rack, 4)
    link = make_link("E-01:1", "E-01:2", code="77")
    prove(link, 6)
    recompute_all()
    assert sentence(readiness_of([rack])[0]) == (
        "Ready: the rack's own gates stand, every chassis passed its gates, and every signal is proved."
    )
    logged = fault(link, 7)
    recompute_all()
    answer = readiness_of([rack])[0]
    assert not answer.is_ready
    assert answer.missing[0].acts == ("signal-checked", f"cure fault {logged.pk}")
    assert [item.code for item in answer.in_doubt] == ["77"]


def test_an_empty_rack_says_so():
    assert sentence(readiness_of([make_rack("J")])[0]) == "There is nothing in this rack yet to be ready."


def test_the_command_answers_a_person_and_a_program(rack_c, run_command):
    status, out, _ = run_command("readiness")
    assert status == 1
    assert "Rack C. Not ready: 3 things are missing." in out
    assert "  fitted: 1 of 2" in out
    status, out, _ = run_command("readiness", "--rack", "C", "--json")
    rack = json.loads(out)["racks"][0]
    assert (status, rack["rack"], rack["ready"]) == (1, "C", False)
    assert rack["missing"][0] == {
        "kind": "slot",
        "code": "C-07",
        "acts": ["received", "cold-checked", "bench-tested", "fitted", "heaters on", "HT on"],
        "distance": 6,
        "waits_for": "Pilar Ortuno",
        "frees": 2,
        "state": "not done",
        "reasons": [],
    }


def test_an_unknown_rack_is_refused(rack_c, run_command):
    status, out, err = run_command("readiness", "--rack", "Z", "--json")
    assert (status, err) == (2, "There is no rack “Z”. The racks are: C, D.\n")
    assert json.loads(out) == {"refused": ["There is no rack “Z”. The racks are: C, D."]}


def test_a_finished_machine_answers_yes(run_command):
    design = make_design("KS-207")
    unit = make_chassis("SR-20", design=design)
    make_fit(unit)
    make_fitting(unit, make_slot("E-01", design=design), fitted_by=pair()[0], at=may(5))
    power_up(unit)
    sign_all("rack", make_rack("E"), 4)
    recompute_all()
    assert run_command("readiness")[0] == 0


def test_readiness_costs_the_same_number_of_queries_at_any_size(rack_c, django_assert_num_queries):
    with django_assert_num_queries(10):
        readiness_of([rack_c])
    for number in range(10, 30):
        make_slot(f"C-{number}", design=make_design("KS-207"))
        prove(make_link(f"C-{number}:1", "C-01:9", code=f"x{number}"))
    recompute_all()
    with django_assert_num_queries(10):
        readiness_of([rack_c])


def test_units_are_shared_out_over_all_the_empty_slots_of_their_design_whichever_are_asked_about(db):
    design = make_design("KS-207")
    make_rack("A", position=1), make_rack("C", position=2)
    first, second = make_slot("A-01", design=design), make_slot("C-01", design=design)
    make_fit(make_chassis("SR-14", design=design))  # the furthest on, so it is meant for the first slot
    step(make_chassis("SR-15", design=design), 1, "allotted")
    recompute_all()
    assert {slot: unit.serial for slot, unit in chassis_meant_for([second]).items()} == {second.pk: "SR-15"}
    assert {slot: unit.serial for slot, unit in chassis_meant_for([first, second]).items()} == {
        first.pk: "SR-14",
        second.pk: "SR-15",
    }


def test_the_front_of_a_rack_shows_what_is_on_its_way_and_how_the_wires_stand(rack_c, tester, as_person):
    page = as_person(tester).get(rack_c.get_absolute_url()).content.decode()
    assert "empty: chassis" in page
    assert "SR-14" in page
    assert "is on its way" in page
    assert 'aria-label="rung out: in hand"' in page
    assert "Marks, left to right: up to bench-tested, fitted, heaters on, HT on, proved in place, joined" in page
    assert "Not ready: 3 things are missing." in page


def test_the_gates_of_the_rack_itself_hold_it_as_one_thing(rack_c):
    GateRecord.objects.filter(gate__in=["HT proved", "soaked"]).delete()
    recompute_all()
    answer = readiness_of([rack_c])[0]
    own = answer.missing[0]
    assert (own.kind, own.code, own.acts, own.distance, own.frees) == ("rack", "C", ("HT proved", "soaked"), 2, 3)
    assert own.waits_for == "the power responsible person"
    assert say(own) == ("rack C itself: prove its HT supply, then soak it; waits for the power responsible person.")
    assert as_json(answer)["rack_gates"]["HT proved"] == "not done"


def test_a_rack_that_only_waits_for_its_release_waits_for_the_site_lead(rack_c):
    GateRecord.objects.filter(gate="open for fitting").delete()
    recompute_all()
    assert readiness_of([rack_c])[0].missing[0].waits_for == "the site lead"


def test_a_chassis_in_its_slot_waits_for_the_power_person_and_its_links_wait_too(rack_c):
    GateRecord.objects.filter(gate="HT on").delete()
    recompute_all()
    missing = {(item.kind, item.code): item for item in readiness_of([rack_c])[0].missing}
    slot = missing["slot", "C-01"]
    assert (slot.acts, slot.waits_for) == (("HT on",), "the power responsible person")
    assert missing["link", "2"].distance == 9
    assert "proved in place" not in {act for item in missing.values() for act in item.acts}
