"""How predictions held: each beside its measurement, and the sum of it said openly."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from restoration.conditioning.models import WiringFit
from restoration.conditioning.scoring import ScatterDrawing, Tally, kept_between, scores_now
from restoration.conditioning.services import keep_prediction
from restoration.engineering.in_place import NOMINAL, Arrangement, Interval
from tests.conditioning.links import check, made_link
from tests.counting import queries_of
from tests.reading import words

PAGE = reverse("conditioning:scores")


@pytest.fixture
def keep(link, tester):
    """Keep a prediction of 17 V, 16 to 18 V, at the load."""

    def kept(*, value=17.0, low=16.0, high=18.0, days=3.0, on=None, fit=None, arrangement=None, **more):
        figures = {("load", "amplitude"): Interval(value, low, high), **more.pop("figures", {})}
        return keep_prediction(
            interconnect=on or link,
            arrangement=arrangement or Arrangement(),
            figures=figures,
            by=tester,
            fit=fit,
            at=timezone.now() - timedelta(days=days),
        )

    return kept


@pytest.fixture
def answered(tester, second_tester, keep):
    """So many predictions of 17 V on links of their own, measured as this many volts."""

    def made(*volts, **given):
        for number, measured in enumerate(volts):
            place = f"{given.get('row', 'B')}-{number + 10}"
            link = made_link(f"{place}:7", f"C{place}:2")
            keep(on=link, fit=given.get("fit"))
            check(link, tester, second_tester, amplitude=measured, days=1)

    return made


def test_nothing_answered_is_said_plainly(as_person, tester, keep):
    keep()
    said = words(as_person(tester).get(PAGE))
    assert "No prediction has been answered by a later measurement yet." in said
    assert "1 prediction waits for a signal check" in said
    assert "<svg role" not in as_person(tester).get(PAGE).content.decode()


def test_a_prediction_stands_beside_its_measurement(as_person, builder, tester, second_tester, link, keep):
    keep(figures={("load", "overshoot"): Interval(0.2, 0.1, 0.3)})
    made = check(link, tester, second_tester, amplitude=17.5)
    answer = as_person(builder).get(PAGE)
    said = words(answer)
    assert "17 V 16 V to 18 V" in said
    assert "17.5 V 1.029 1 of 2 inside" in said
    assert f'href="{made.get_absolute_url()}"' in answer.content.decode()
    assert 'aria-label="inside"' in answer.content.decode()
    assert "HT and mains kill" in said


def test_one_outside_its_interval_is_marked_so(as_person, tester, answered):
    answered(19.0)
    answer = as_person(tester).get(PAGE)
    assert 'aria-label="outside"' in answer.content.decode()
    assert "1 prediction is answered by a later measurement; 0 amplitudes lie within the interval given, 0 %" in (
        words(answer)
    )


def test_too_few_are_called_too_few(answered):
    answered(17.0, 17.2, 19.0)
    said = scores_now().all.says
    assert said == (
        "3 predictions are answered by a later measurement; 2 amplitudes lie within the interval given, 67 % against "
        "the nine in ten promised. Half are within 1.2\xa0% of what was measured, nine in ten within 8.7\xa0%. That is "
        "too few to tell whether the promise is kept; 20 would begin to."
    )


def test_enough_are_held_against_what_chance_would_give(answered):
    answered(17.0, 19.0)
    outside, inside = scores_now().in_order(worst_first=True)
    said = Tally("all", (inside,) * 18 + (outside,) * 2).says
    assert said.endswith("15 to 20 of 20 would be usual: this is as a kept promise would have it.")
    assert "18 amplitudes lie within the interval given, 90 %" in said


def test_a_broken_promise_is_called_so(answered):
    answered(17.0, 19.0)
    outside, inside = scores_now().in_order(worst_first=True)
    said = Tally("all", (inside,) * 14 + (outside,) * 6).says
    assert said.endswith(
        "15 to 20 of 20 would be usual: this is not what a kept promise would have: the intervals are too narrow."
    )


def test_intervals_too_wide_are_called_so(answered):
    answered(17.0)
    assert kept_between(40)[1] < 40
    said = Tally("all", scores_now().scores * 40).says
    assert said.endswith("would have: the intervals are too wide.")


def test_chance_bounds_are_those_of_coins():
    assert kept_between(100) == (84, 95)
    assert kept_between(1) == (0, 1)


def test_groups_are_by_the_constants_that_were_in_use(as_person, tester, answered):
    fit = WiringFit.objects.create(record_count=30, told=NOMINAL.as_dict())
    answered(17.0, 19.0)
    answered(17.0, row="D", fit=fit)
    groups = scores_now().groups
    assert [(group.name, group.count, group.held) for group in groups] == [
        ("before any records", 2, 1),
        (f"wiring constants {fit.pk}", 1, 1),
    ]
    said = words(as_person(tester).get(PAGE))
    assert "Before any records 2 1 (50 %)" in said
    assert f"wiring constants {fit.pk} , since" in said


def test_each_quantity_is_counted_for_itself(as_person, tester, second_tester, link, keep):
    keep(figures={("load", "overshoot"): Interval(0.2, 0.1, 0.3), ("source", "amplitude"): Interval(17.0, 1.0, 99.0)})
    check(link, tester, second_tester, amplitude=17.5)
    found = scores_now().quantities
    assert [(row.name, row.count, row.held) for row in found] == [("amplitude", 1, 1), ("overshoot", 1, 0)]
    assert "overshoot 1 0 (0 %)" in words(as_person(tester).get(PAGE))


def test_a_check_with_other_parts_on_it_answers_nothing(tester, second_tester, link, keep):
    keep(arrangement=Arrangement(series_ohm=330.0))
    check(link, tester, second_tester)
    found = scores_now()
    assert (found.scores, found.waiting) == ((), 1)


def test_newest_first_or_worst_first(answered, as_person, tester):
    answered(17.4, 19.5, 15.0)
    found = scores_now()
    assert [score.amplitude.measured for score in found.in_order(worst_first=True)] == [19.5, 15.0, 17.4]
    newest = [score.prediction.pk for score in found.in_order(worst_first=False)]
    assert newest == sorted(newest, reverse=True)
    said = words(as_person(tester).get(PAGE, {"order": "worst"})).partition("One by one")[2]
    assert said.index("19.5 V") < said.index("15 V") < said.index("17.4 V")


def test_the_miss_is_measured_in_widths_of_its_interval(answered):
    answered(18.0, 17.0)
    widths = sorted(score.widths for score in scores_now().scores)
    assert widths == [pytest.approx(0.0), pytest.approx(1.0)]


def test_the_drawing_has_a_dot_for_each_and_needs_three(answered, as_person, tester):
    answered(17.0, 17.5)
    assert ScatterDrawing.of(scores_now().scores) is None
    answered(19.0, row="D")
    drawing = ScatterDrawing.of(scores_now().scores)
    assert [dot.is_inside for dot in drawing.dots] == [True, True, False]
    assert drawing.dots[0].x == drawing.dots[2].x
    heights = [float(dot.y.rstrip("%")) for dot in drawing.dots]
    assert heights[2] < heights[1] < heights[0]
    page = as_person(tester).get(PAGE).content.decode()
    assert page.count('class="inside"') == 2
    assert page.count('class="outside"') == 1


def test_no_scores_make_no_quantiles():
    assert (Tally("none", ()).median, Tally("none", ()).share) == ("–", "–")


def test_the_reads_do_not_grow(as_person, tester, answered):
    client = as_person(tester)
    answered(17.0, 17.1)
    few = queries_of(client, PAGE)
    answered(*[17.0] * 6, row="D")
    assert queries_of(client, PAGE) == few
