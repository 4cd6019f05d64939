"""predict_link and propose_for_link: for a person and for a program."""

import json

import pytest

from restoration.machine.models import SignalLimit
from tests.conditioning.links import bench_test, made_link


@pytest.fixture
def bench(link, tester):
    return bench_test(link, tester, rise_time=4e-8, fall_time=6e-8)


def test_a_prediction_for_a_person(run_command, link, bench):
    status, said, _ = run_command("predict_link", link.code)
    assert status == 1
    assert said.startswith("17.2 V and ringing are to be expected at the load.")
    assert "  load amplitude: 17.2 V (" in said
    assert "), limit 15 to 20 V" in said
    assert said.endswith("Advice: verify by measurement.\n")


def test_a_prediction_for_a_program(run_command, link, bench):
    status, said, _ = run_command("predict_link", link.code, "--series-ohm", "470", "--json")
    told = json.loads(said)
    assert (status, told["met"]) == (0, True)
    assert (told["link"], told["arrangement"], told["level_from"]) == (link.code, {"series_ohm": 470.0}, "bench")
    amplitude = next(row for row in told["figures"] if (row["end"], row["quantity"]) == ("load", "amplitude"))
    assert amplitude["low"] < amplitude["value"] < amplitude["high"]
    assert amplitude["value"] == pytest.approx(17.2, abs=0.1)
    assert told["limits"]["amplitude"] == {"least": 15, "nominal": 17.5, "most": 20}


def test_proposals_for_a_person(run_command, link, bench, drawer):
    status, said, _ = run_command("propose_for_link", link.code, "--count", "3")
    assert status == 0
    assert "1. " in said
    assert "4. " not in said
    assert "meets every limit" in said


def test_proposals_for_a_program(run_command, link, bench, drawer):
    status, said, _ = run_command("propose_for_link", link.code, "--count", "2", "--json")
    told = json.loads(said)
    assert (status, len(told["proposals"])) == (0, 2)
    first = told["proposals"][0]
    assert first["met"]
    assert first["parts"][0]["kind"] == "resistor"
    assert first["load"]["overshoot"] <= 0.1
    assert not told["as_it_is"]["met"]


def test_limits_that_nothing_meets_end_with_one(run_command, link, bench):
    SignalLimit.objects.filter(quantity="amplitude").update(least=400.0, nominal=450.0, most=500.0)
    assert run_command("propose_for_link", link.code)[0] == 1


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("predict_link", "nope"), "There is no link “nope”; give the code as the wire list has it."),
        (("predict_link", "{}", "--series-ohm", "much"), "“much” was given, and this is a resistance"),
        (("predict_link", "{}", "--series-ohm", "-5"), "series_ohm must be zero or more and finite; -5.0 was given."),
        (("predict_link", "{}", "--attenuator-f", "4p"), "A capacitor across the attenuator needs a resistor there"),
        (("propose_for_link", "{}", "--count", "0"), "0 "),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(run_command, link, bench, words, sentence):
    given = [word.format(link.code) for word in words]
    status, said, wrong = run_command(*given, "--json")
    assert status == 2
    assert sentence in json.loads(said)["refused"][0]
    assert sentence in wrong


def test_a_link_without_a_length_or_limits_is_refused(run_command, tester, db):
    short = made_link(length_m=None)
    status, _, wrong = run_command("predict_link", short.code)
    assert status == 2
    assert wrong.startswith(f"No length is written down for link {short.code}.")
    bench_test(short, tester)
    short.length_m = 2.0
    short.save(update_fields=["length_m"])
    SignalLimit.objects.all().delete()
    status, _, wrong = run_command("propose_for_link", short.code)
    assert (status, wrong.strip()) == (
        2,
        f"No limit is stated for the signal of link {short.code}, so nothing says what is better.",
    )
