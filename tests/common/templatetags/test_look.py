"""What the shared tags draw."""

import datetime
from typing import Any

import pytest
from django import forms
from django.core.paginator import Paginator
from django.http import QueryDict
from django.template import Context, Template
from django.test import RequestFactory

from restoration.common.templatetags.look import SHAPES, current_mark, page_address, whole_codes


def draw(source: str, **context: Any) -> str:
    return Template("{% load look %}" + source).render(Context(context))


class LabelForm(forms.Form):
    slot = forms.CharField(label="Slot label", help_text="As painted on the rack.")
    note = forms.CharField(required=False, widget=forms.Textarea)
    joined = forms.BooleanField(label="All loads are joined")
    end = forms.ChoiceField(
        label="Which end", choices=[("s", "source end"), ("l", "load end")], widget=forms.RadioSelect
    )
    token = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def clean(self) -> dict[str, Any]:
        if self.cleaned_data.get("slot") == "C-08":
            raise forms.ValidationError("Slot C-08 holds a chassis already.")
        return self.cleaned_data


class TestMark:
    @pytest.mark.parametrize(("standing", "shape"), SHAPES.items())
    def test_it_draws_the_shape_and_says_the_word(self, standing: str, shape: str) -> None:
        drawn = draw("{% mark standing %}", standing=standing)
        assert f'href="#mark-{shape}"' in drawn
        assert f'role="img" aria-label="{standing}"' in drawn

    def test_a_small_one_with_a_label_of_its_own(self) -> None:
        drawn = draw("{% mark 'passed' size='s' label='HT on: passed' %}")
        assert 'class="mark s st-passed"' in drawn
        assert 'aria-label="HT on: passed"' in drawn

    def test_nothing_is_void(self) -> None:
        assert 'aria-label="void"' in draw("{% mark standing %}", standing="")

    def test_a_label_is_escaped(self) -> None:
        assert "<script>" not in draw("{% mark 'passed' label=label %}", label='"><script>')

    def test_an_unknown_standing_is_refused(self) -> None:
        with pytest.raises(ValueError) as refusal:
            draw("{% mark 'proved' %}")
        assert str(refusal.value) == (
            "There is no mark for the standing “proved”. The standings are: not done, in hand, passed, on concession, "
            "failed, in doubt, withdrawn, void."
        )

    def test_the_word_beside_it_is_read_once(self) -> None:
        drawn = draw("{% standing_word 'in doubt' %}")
        assert 'aria-hidden="true"' in drawn
        assert "aria-label" not in drawn
        assert drawn.endswith("in doubt</span>")

    def test_another_word_keeps_the_shape(self) -> None:
        drawn = draw("{% standing_word 'passed' word='cured' %}")
        assert "#mark-passed" in drawn
        assert drawn.endswith("cured</span>")

    def test_the_key_shows_every_standing(self) -> None:
        drawn = draw("{% include '_components/marks_key.html' %}")
        assert [word for word in SHAPES if f"{word}</span>" in drawn] == [word for word in SHAPES if word != "void"]


class TestCode:
    @pytest.mark.parametrize(
        ("value", "drawn"),
        [
            ("C-07", '<span class="code">C-07</span>'),
            (214, '<span class="code">214</span>'),
            (None, '<span class="code"></span>'),
            ("A/1 + <b>", '<span class="code">A/1 + &lt;b&gt;</span>'),
            ("B-05 t7 / D-02 t4", '<span class="code long">B-05 t7 / D-02 t4</span>'),
        ],
    )
    def test_it_is_written_letter_for_letter(self, value: object, drawn: str) -> None:
        assert draw("{% code value %}", value=value) == drawn


class TestWhen:
    def test_a_moment_is_told_in_the_time_of_the_site(self) -> None:
        moment = datetime.datetime(2026, 7, 3, 13, 2, tzinfo=datetime.UTC)
        assert draw("{% when moment %}", moment=moment) == (
            '<time datetime="2026-07-03T14:02:00+01:00">3 Jul 2026, 14:02</time>'
        )

    def test_a_day(self) -> None:
        day = datetime.date(2026, 11, 25)
        assert draw("{% when day %}", day=day) == '<time datetime="2026-11-25">25 Nov 2026</time>'

    def test_none_is_said(self) -> None:
        assert draw("{% when moment %}", moment=None) == "not recorded"
        assert draw("{% when moment blank='never' %}", moment=None) == "never"
        assert draw("{% when missing %}") == "not recorded"


class TestSi:
    @pytest.mark.parametrize(
        ("value", "unit", "drawn"),
        [
            (2.4149e-6, "s", "2.41\u00a0µs"),
            (31, "V", "31.0\u00a0V"),
            (None, "s", "not known"),
            ("", "V", "not known"),
        ],
    )
    def test_a_figure_is_written_for_people(self, value: object, unit: str, drawn: str) -> None:
        assert draw("{% si value unit %}", value=value, unit=unit) == drawn

    def test_with_as_many_digits_as_asked(self) -> None:
        assert draw("{% si 0.0012345 'A' digits=4 %}") == "1.234\u00a0mA"


class TestField:
    def test_the_label_stands_above_with_help_tied_to_the_field(self) -> None:
        drawn = draw("{% field form.slot %}", form=LabelForm())
        assert drawn.index("Slot label") < drawn.index("As painted") < drawn.index("<input")
        assert 'id="id_slot_helptext"' in drawn
        assert 'aria-describedby="id_slot_helptext"' in drawn
        assert "may stay empty" not in drawn

    def test_one_that_may_stay_empty_says_so(self) -> None:
        assert "(may stay empty)" in draw("{% field form.note %}", form=LabelForm())
        assert "(may stay empty)" not in draw("{% field form.note optional=False %}", form=LabelForm())

    def test_what_is_wrong_is_tied_to_the_field(self) -> None:
        drawn = draw("{% field form.slot %}", form=LabelForm({}))
        assert 'class="field bad"' in drawn
        assert 'id="id_slot_error"' in drawn
        assert 'aria-describedby="id_slot_helptext id_slot_error"' in drawn
        assert "This field is required." in drawn

    def test_a_box_to_tick_stands_before_its_label(self) -> None:
        drawn = draw("{% field form.joined %}", form=LabelForm())
        assert drawn.index('type="checkbox"') < drawn.index("All loads are joined")

    def test_several_choices_stand_under_one_name(self) -> None:
        drawn = draw("{% field form.end %}", form=LabelForm())
        assert "<legend>Which end</legend>" in drawn
        assert drawn.strip().startswith("<fieldset")
        assert drawn.strip().endswith("</fieldset>")

    def test_something_else_than_a_field_is_refused(self) -> None:
        with pytest.raises(ValueError, match=r"The field tag draws a field of a form, and was given ''\."):
            draw("{% field form.nothing %}", form=LabelForm())


class TestFormErrors:
    def test_a_fresh_or_good_form_says_nothing(self) -> None:
        good = LabelForm({"slot": "C-07", "joined": "on", "end": "s"})
        assert draw("{% form_errors form %}", form=LabelForm()).strip() == ""
        assert draw("{% form_errors form %}", form=good).strip() == ""

    def test_each_wrong_field_is_named_and_reached(self) -> None:
        drawn = draw("{% form_errors form %}", form=LabelForm({"slot": "C-07", "end": "s"}))
        assert "Nothing was stored yet." in drawn
        assert '<a href="#id_joined">All loads are joined</a>: This field is required.' in drawn
        assert "Slot label" not in drawn

    def test_what_is_wrong_with_the_whole_is_said(self) -> None:
        drawn = draw("{% form_errors form %}", form=LabelForm({"slot": "C-08", "joined": "on", "end": "s"}))
        assert "<li>Slot C-08 holds a chassis already.</li>" in drawn

    def test_a_hidden_field_is_not_silent(self) -> None:
        drawn = draw("{% form_errors form %}", form=LabelForm({"slot": "C", "joined": "on", "end": "s", "token": "x"}))
        assert "<li>Enter a whole number.</li>" in drawn


class TestPaging:
    def listed(self, count: int, number: int, query: str = "") -> str:
        page = Paginator(range(count), 50).page(number)
        return draw("{% paging page 'links' %}", page=page, request=RequestFactory().get(f"/links/{query}"))

    def test_the_middle_leads_everywhere_and_keeps_what_narrows(self) -> None:
        drawn = self.listed(900, 3, "?rack=B&page=3")
        assert "101 to 150 of 900 links." in drawn
        for word, number in [("First", 1), ("Previous", 2), ("Next", 4), ("Last", 18)]:
            assert f'href="/links/?rack=B&amp;page={number}"' in drawn
            assert f">{word}</a>" in drawn

    def test_the_ends_lead_one_way(self) -> None:
        assert "Previous" not in self.listed(900, 1)
        assert "Next" not in self.listed(900, 18)

    def test_a_short_list_has_no_steps(self) -> None:
        drawn = self.listed(7, 1)
        assert "7 links, all shown." in drawn
        assert "<nav" not in drawn

    def test_a_list_of_one_says_so(self) -> None:
        assert "One, and no more." in self.listed(1, 1)

    def test_an_empty_list_says_so(self) -> None:
        assert "No links." in self.listed(0, 1)

    def test_an_address_keeps_repeated_and_odd_words(self) -> None:
        request = RequestFactory().get("/links/?rack=B&rack=C&signal=a%26b")
        query = QueryDict(page_address(request, 2).partition("?")[2])
        assert query.getlist("rack") == ["B", "C"]
        assert query["signal"] == "a&b"
        assert query["page"] == "2"


class TestStrip:
    @pytest.mark.parametrize(
        ("shown", "mark"),
        [
            ("machine:rack-list", "page"),
            ("machine:rack-detail", "true"),
            ("machine:chassis-list", ""),
            ("machine:rack", ""),
            ("", ""),
        ],
    )
    def test_a_page_of_the_same_noun_marks_the_sheet(self, shown: str, mark: str) -> None:
        assert current_mark("machine:rack-list", shown) == mark

    def test_a_sheet_without_a_noun_marks_only_itself(self) -> None:
        assert current_mark("commissioning:today", "commissioning:readiness") == ""

    def test_without_a_request_there_is_a_name_and_nothing_to_sign_out(self) -> None:
        drawn = draw("{% strip %}")
        assert "Heaters On" in drawn
        assert "Sign out" not in drawn


class TestWholeCodes:
    @pytest.mark.parametrize(
        ("sentence", "drawn"),
        [
            ("slot C-10: fit it", 'slot <span class="whole">C-10</span>: fit it'),
            ("KS-207 issue D", '<span class="whole">KS-207</span> issue D'),
            ("its load-end is signal-checked", "its load-end is signal-checked"),
            ("<b>Ж-07</b> & more", '&lt;b&gt;<span class="whole">Ж-07</span>&lt;/b&gt; &amp; more'),
            ("", ""),
        ],
    )
    def test_a_code_in_a_sentence_is_not_broken_and_the_rest_is_escaped(self, sentence: str, drawn: str) -> None:
        assert whole_codes(sentence) == drawn
