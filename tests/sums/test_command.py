"""The command beside the page: the same figures, for a person and for a program, and its refusals."""

import json

import pytest
from django.test import Client
from django.urls import reverse

from restoration.sums.catalogue import sums
from restoration.sums.telling import plain
from restoration.sums.working import work
from tests.reading import words

each_sum = pytest.mark.parametrize("one", sums().values(), ids=lambda one: one.slug)


def given_words(one) -> list[str]:
    return [f"{name}={text}" for name, text in one.example.items()]


@each_sum
def test_for_a_program_it_gives_si_values_under_stable_keys(one, run_command):
    status, out, _ = run_command("sum", one.slug, *given_words(one), "--json")
    told = json.loads(out)
    assert status == 0
    answer = work(one, one.example).answer
    assert list(told["results"]) == [result.key for result in answer.results]
    for result in answer.results:
        assert told["units"][result.key] == result.unit
        if isinstance(result.value, float) and abs(result.value) < float("inf"):
            assert told["results"][result.key] == result.value
    assert told["given"] == one.example
    assert told["example"] is False
    assert (told["advice"], told["source"]) == ("Advice: verify by measurement.", one.source)
    assert "NaN" not in out
    assert "Infinity" not in out


@pytest.mark.django_db
@each_sum
def test_the_page_says_what_the_command_says(one, run_command, as_person, tester):
    status, out, _ = run_command("sum", one.slug, *given_words(one))
    assert status == 0
    client: Client = as_person(tester)
    page = plain(words(client.get(reverse("sums:sum", args=[one.slug]), one.example)))
    for result in work(one, one.example).answer.results:
        assert plain(f"  {result.label}: {result.words}") in out
        assert plain(f"{result.label} {result.words}") in page


def test_without_a_name_it_lists_them_all(run_command):
    status, out, _ = run_command("sum")
    assert status == 0
    assert all(f"  {one.slug}: {one.question}" in out for one in sums().values())
    status, out, _ = run_command("sum", "--json")
    assert [one["sum"] for one in json.loads(out)["sums"]] == list(sums())


def test_with_a_name_alone_it_works_the_example_and_says_so(run_command):
    status, out, _ = run_command("sum", "limit")
    assert status == 0
    assert "A worked example, with figures of no place in particular." in out
    assert "17.2 V is within the limit, the uncertainty taken off both sides." in out


@pytest.mark.parametrize(
    ("given", "sentences"),
    [
        (["perpetual"], ["There is no sum “perpetual”; there are " + ", ".join(sums()) + "."]),
        (["limit", "17"], ["“17” was given; write it as key=value, such as length_m=4.6."]),
        (["limit", "value_v=17", "value_v=18"], ["“value_v” was given twice; give it once."]),
        (
            ["limit", "value_v=many"],
            [
                "Level or amplitude read: “many” was given, and this is a voltage: 17.2, or 350 mV.",
                "Its expanded uncertainty: It was left empty; write one, such as 0.6 V.",
            ],
        ),
        (
            ["limit", "value_v=17", "uncertainty_v=1", "least_v=9", "most_v=2"],
            ["The least allowed, 9, is above the most allowed, 2."],
        ),
    ],
)
def test_a_refusal_is_a_sentence_and_two(given, sentences, run_command):
    status, out, err = run_command("sum", *given, "--json")
    assert status == 2
    assert json.loads(out) == {"refused": sentences}
    assert err.splitlines() == sentences
