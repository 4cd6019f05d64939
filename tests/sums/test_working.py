"""Working a sum from texts: the example, what is wrong beside what it is about, and figures at their extremes."""

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from restoration.engineering.figures import NANOSECONDS, OHMS, PICOFARADS, VOLTS
from restoration.sums.catalogue import groups, sums
from restoration.sums.declared import Answer, Choice, Count, Lines, Quantity, Result, Span, Sum
from restoration.sums.units import WireInput, named_figures
from restoration.sums.working import TOO_FAR, work

each_sum = pytest.mark.parametrize("one", sums().values(), ids=lambda one: one.slug)


def a_sum(compute, *inputs) -> Sum:
    return Sum(
        slug="trial", title="Trial", question="What?", inputs=inputs, compute=compute, formula=("a",), source="b",
        assumptions=("c",), limits=("d",),
    )  # fmt: skip


SERIES = Quantity(name="series_ohm", label="Series resistor", unit=OHMS, example="1k")
TURNS = Count(name="turns", label="Turns", example="5", most=10)
SHAPE = Choice(name="shape", label="Shape", example="a", options=(("a", "A"), ("b", "B")))
WIRE = WireInput(name="wire", label="Wire", example="26 SWG")
LOAD = Quantity(name="load_ohm", label="Load", unit=OHMS, example="", optional=True)


class TestCatalogue:
    def test_groups_come_in_their_order_and_every_sum_once(self):
        assert [group.order for group in groups()] == sorted({group.order for group in groups()})
        listed = [one.slug for group in groups() for one in group.sums]
        assert listed == list(sums())
        assert len(listed) >= 25

    @each_sum
    def test_it_declares_all_that_it_rests_on(self, one):
        for said in (one.title, one.question, one.source, *one.formula, *one.assumptions, *one.limits):
            assert len(said.strip()) > 3
        assert min(map(len, (one.formula, one.assumptions, one.limits))) >= 1
        assert one.question.endswith("?")
        assert one.limits[0].endswith(".")
        names = [each.name for each in one.inputs]
        assert len(names) == len(set(names))

    @each_sum
    def test_its_example_is_worked_into_whole_sentences(self, one):
        worked = work(one, {})
        assert worked.is_example
        assert worked.sentences == []
        answer = worked.answer
        assert answer.results
        assert all(said[0].isupper() or said[0].isdigit() for said in (answer.sentence, *answer.says))
        assert all(said.endswith(".") for said in (answer.sentence, *answer.says))
        keys = [result.key for result in answer.results]
        assert len(keys) == len(set(keys))
        for table in answer.tables:
            assert table.rows
            assert all(len(row) == len(table.columns) for row in table.rows)

    @each_sum
    def test_figures_at_their_extremes_are_worked_or_refused_in_a_sentence(self, one):
        """Each figure alone, from a billionth of its example to a billion times, nothing, and below nothing."""
        figures = [each for each in one.inputs if isinstance(each, Quantity)]
        scales = ("1e-12", "1e-3", "1e9", "0", "-1", "nan", "1e400")
        for each, text in itertools.product(figures, scales):
            worked = work(one, one.example | {each.name: text})
            assert worked.answer or worked.sentences
            for sentence in worked.sentences:
                assert sentence.endswith("."), (each.name, text, sentence)

    @pytest.mark.django_db
    @each_sum
    @settings(max_examples=15, deadline=None)
    @given(data=st.data())
    def test_whatever_is_typed_there_is_an_answer_or_a_sentence(self, one, data):
        each = data.draw(st.sampled_from(one.inputs))
        text = data.draw(st.one_of(st.text(max_size=30), st.from_regex(r"[-+0-9.,eEkMnpµ ]{1,9}", fullmatch=True)))
        worked = work(one, one.example | {each.name: text})
        assert bool(worked.answer) != bool(worked.sentences)

    @each_sum
    def test_what_may_stay_empty_may_be_left_out(self, one):
        needed = {each.name: each.example for each in one.inputs if not each.optional}
        worked = work(one, needed)
        assert worked.answer, worked.sentences


class TestWrong:
    def test_several_are_told_at_once_and_all_texts_kept(self):
        one = a_sum(lambda **_: Answer("Done."), SERIES, LOAD)
        worked = work(one, {"series_ohm": "many", "load_ohm": "-5"})
        assert worked.wrong == {
            "series_ohm": "“many” was given, and this is a resistance: 0.4, 1k5 or 22M, say.",
            "load_ohm": "“-5” was given, and this has to be more than zero.",
        }
        assert worked.texts == {"series_ohm": "many", "load_ohm": "-5"}
        assert worked.answer is None

    def test_a_refusal_of_the_core_stands_beside_the_input_it_names(self):
        def compute(**_):
            raise ValueError("series_ohm must be more than zero; 0.0 was given.")

        worked = work(a_sum(compute, SERIES), {"series_ohm": "1k"})
        assert worked.wrong == {"series_ohm": "“Series resistor” must be more than zero; 0.0 was given."}
        assert worked.sentences == ["Series resistor: “Series resistor” must be more than zero; 0.0 was given."]

    def test_another_stands_over_the_whole(self):
        def compute(**_):
            raise ValueError("These do not go together.")

        assert work(a_sum(compute, SERIES), {"series_ohm": "1k"}).refused == ("These do not go together.",)

    @pytest.mark.parametrize("value", [float("nan"), OverflowError(), ZeroDivisionError()])
    def test_what_is_no_number_is_no_answer(self, value):
        def compute(**_):
            if isinstance(value, Exception):
                raise value
            return Answer("Done.", (Result("x", "X", value),))

        assert work(a_sum(compute, SERIES), {"series_ohm": "1k"}).refused == (TOO_FAR,)

    def test_a_name_not_asked_for(self):
        worked = work(a_sum(lambda **_: Answer("Done."), SERIES), {"series_ohm": "1k", "shunt": "2"})
        assert worked.refused == ("This sum does not ask for “shunt”; it asks for series_ohm.",)

    def test_far_too_much_text(self):
        worked = work(a_sum(lambda **_: Answer("Done."), SERIES), {"series_ohm": "1" * 5000})
        assert worked.wrong == {"series_ohm": "“Series resistor” holds 5000 letters; at most 4000 are read."}


class TestInputs:
    @pytest.mark.parametrize(
        ("span", "text", "is_taken"),
        [
            (Span.ABOVE_ZERO, "0", False), (Span.ABOVE_ZERO, "1", True), (Span.ZERO_UP, "0", True),
            (Span.ZERO_UP, "-1", False), (Span.ANY, "-1", True),
        ],
    )  # fmt: skip
    def test_spans(self, span, text, is_taken):
        given = Quantity(name="v", label="Level", unit=VOLTS, example="1", span=span)
        if is_taken:
            assert given.taken(text) == float(text)
        else:
            with pytest.raises(ValueError, match="this has to be"):
                given.taken(text)

    @pytest.mark.parametrize(
        ("given", "text", "sentence"),
        [
            (TURNS, "11", "“11” was given, and this is a whole number from 1 to 10."),
            (TURNS, "2.5", "“2.5” was given, and this is a whole number from 1 to 10."),
            (SHAPE, "c", "“c” was given, and this is one of: a, b."),
            (WIRE, "99 SWG", "There is no SWG 99 in the table; it goes from 7/0 to 50."),
            (Lines(name="l", label="Lines", example="a", reader=str), " ; ", "0 lines were given; 1 to 60 are read."),
            (TURNS, "", "It was left empty; write one, such as 5."),
        ],
    )
    def test_refusals(self, given, text, sentence):
        with pytest.raises(ValueError) as refusal:
            given.taken(text)
        assert str(refusal.value) == sentence

    def test_what_is_told_again_has_the_unit_that_was_meant(self):
        assert SERIES.told("4k7") == "4k7"
        assert SERIES.told("150") == "150 Ω"
        assert LOAD.told("") == "left empty"
        assert Quantity(name="t", label="Edge", unit=NANOSECONDS, example="1").told("20") == "20 ns"


class TestLines:
    KINDS = (("resistance", OHMS), ("capacitance", PICOFARADS), ("delay", NANOSECONDS))

    @pytest.mark.parametrize(
        ("line", "name", "given"),
        [
            ("V7 220k 40p 120 ns", "V7", {"resistance": 220e3, "capacitance": 40e-12, "delay": 120e-9}),
            ("V7 grid: 220 kΩ 40 pF", "V7 grid", {"resistance": 220e3, "capacitance": 40e-12}),
            ("pulse former - 40", "pulse former", {"capacitance": 40e-12}),
            ("gate 4,7k - 1.5 µs", "gate", {"resistance": 4700.0, "delay": 1.5e-6}),
        ],
    )
    def test_names_and_figures_in_order(self, line, name, given):
        found_name, found = named_figures(line, self.KINDS, lambda *both: both)
        assert found_name == name
        assert found == pytest.approx(given)

    @pytest.mark.parametrize(
        ("line", "sentence"),
        [
            ("220k", "“220k” was given; a line is a name and then resistance, capacitance, delay."),
            ("V7", "“V7” was given; a line is a name and then resistance, capacitance, delay."),
            (
                "V7 1k 2p 3n 4n",
                "“V7 1k 2p 3n 4n” was given; after the name come resistance, capacitance, delay, and no more.",
            ),
            ("V7 1k&2", "“1k&2” was given, and this is a resistance: 0.4, 1k5 or 22M, say."),
        ],
    )  # fmt: skip
    def test_refusals(self, line, sentence):
        with pytest.raises(ValueError) as refusal:
            named_figures(line, self.KINDS, lambda *both: both)
        assert str(refusal.value) == sentence
