"""The components: what each draws from its context."""

import datetime
import re
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import django_filters
import pytest
from django.template.loader import render_to_string
from django.test import RequestFactory

from restoration.people.models import Person

ROOT = Path(__file__).resolve().parents[3]
TEMPLATES = sorted((ROOT / "templates").rglob("*.html"))

FIGURE = SimpleNamespace(
    title="Found 31 volts; left 17 volts",
    caption="Left as it should be.",
    x_axis=SimpleNamespace(
        name="time", unit="µs", ticks=[SimpleNamespace(at=0, label="0"), SimpleNamespace(at=50.5, label="2")]
    ),
    y_axis=SimpleNamespace(name="level", unit="V", ticks=[SimpleNamespace(at=80, label="0")]),
    bands=[SimpleNamespace(top=40, height=10, label="limit, 15 to 20 V")],
    traces=[SimpleNamespace(kind="found", name="found", points="0,800 1000,200", name_x=30, name_y=18)],
    data_url="/proving/traces/7/",
)


@pytest.mark.parametrize("template", TEMPLATES, ids=lambda path: str(path.relative_to(ROOT)))
def test_no_template_carries_style_or_script_of_its_own(template: Path) -> None:
    text = template.read_text()
    assert not re.search(r"\sstyle\s*=", text), "The content policy refuses style attributes."
    assert not re.search(r"<style|\son[a-z]+\s*=|hx-on|javascript:", text)
    assert not re.search(r"<script(?![^>]*\ssrc=)", text)


class TestTraceFigure:
    def drawn(self, **changes: Any) -> str:
        figure = SimpleNamespace(**{**vars(FIGURE), **changes})
        return render_to_string("_components/trace_figure.html", {"figure": figure})

    def test_it_has_axes_units_limit_and_named_traces(self) -> None:
        drawn = self.drawn()
        assert 'aria-label="Found 31 volts; left 17 volts"' in drawn
        assert "level, V" in drawn
        assert "time, µs" in drawn
        assert 'x="50.5%"' in drawn
        assert '<rect class="limit" x="0" y="40%" width="100%" height="10%"/>' in drawn
        assert '<polyline class="line found" points="0,800 1000,200"/>' in drawn
        assert ">found</text>" in drawn

    def test_it_says_where_its_samples_are(self) -> None:
        assert 'data-trace-url="/proving/traces/7/"' in self.drawn()
        assert "data-trace-url" not in self.drawn(data_url="")


def test_a_conflict_shows_what_the_other_one_wrote() -> None:
    drawn = render_to_string(
        "_components/conflict.html",
        {
            "theirs": [
                SimpleNamespace(label="Symptom", text="Counts <double>."),
                SimpleNamespace(label="How often", text=""),
            ],
            "yours": [SimpleNamespace(label="Symptom", text="Drops a digit.")],
            "who": "Tomasz Wilk",
            "when": datetime.datetime(2026, 11, 25, 13, 58, tzinfo=datetime.UTC),
        },
    )
    assert "Tomasz Wilk stored it on" in drawn
    assert "25 Nov 2026, 13:58" in drawn
    assert "Counts &lt;double&gt;." in drawn
    assert "Drops a digit." in drawn
    assert "(empty)" in drawn


class WordsFilter(django_filters.FilterSet):
    words = django_filters.CharFilter(label="Words in it")


class TestFilterForm:
    def drawn(self, query: dict[str, str], **context: str) -> str:
        narrowed = WordsFilter(query, queryset=Person.objects.none())
        request = RequestFactory().get("/machine/links/", query)
        return render_to_string("_components/filter_form.html", {"filter": narrowed, **context}, request=request)

    def test_it_asks_by_address_and_folds_when_nothing_narrows(self) -> None:
        drawn = self.drawn({})
        assert 'method="get"' in drawn
        assert " open" not in drawn.partition(">")[0]
        assert "Show all" not in drawn
        assert "hx-get" not in drawn

    def test_what_narrows_stays_shown_and_can_be_dropped(self) -> None:
        drawn = self.drawn({"words": "carry"})
        assert " open" in drawn[drawn.index("<details") :].partition(">")[0]
        assert 'value="carry"' in drawn
        assert 'href="/machine/links/">Show all</a>' in drawn

    def test_htmx_replaces_the_part_that_is_named(self) -> None:
        assert 'hx-get="/machine/links/" hx-target="#rows"' in self.drawn({}, target="#rows")


def test_photographs_say_what_they_show() -> None:
    photo = SimpleNamespace(
        url="/p/1", small_url="/p/1/small", says="Tag strip 3", by="Pilar", taken_at=datetime.date(2026, 11, 2)
    )
    bare = SimpleNamespace(url="/p/2")
    drawn = render_to_string("_components/photo_grid.html", {"photos": [photo, bare]})
    assert '<a href="/p/1"><img src="/p/1/small" alt="Tag strip 3" loading="lazy">' in drawn
    assert 'src="/p/2" alt="Photograph without a note"' in drawn
    assert "2 Nov 2026" in drawn


def test_nothing_yet_is_a_sentence_with_a_way_to_begin() -> None:
    context = {"says": "No faults are logged on this link.", "url": "/faults/add/", "act": "Log the first"}
    drawn = render_to_string("_components/empty.html", context)
    assert "No faults are logged on this link." in drawn
    assert '<a class="do" href="/faults/add/">Log the first</a>' in drawn
    assert "<a" not in render_to_string("_components/empty.html", {"says": "Nothing."})


class TestCautions:
    @pytest.mark.parametrize(
        "said",
        [
            "Capacitors stay charged, and a calculated time is no proof",
            "prove dead at the point of work, with an indicator proved before and after",
            "Heaters only is not off",
            "second person who is authorised",
            "Never float an earthed oscilloscope",
            "The paper permit is the master",
            "Local codes, the rules of the host and competent or licensed persons come before",
        ],
    )
    def test_the_caution_of_ht_says_it_all(self, said: str) -> None:
        assert said in render_to_string("_components/caution_ht.html")

    def test_no_power_at_home_unless_somebody_was_named(self) -> None:
        assert "Do not power this at home." in render_to_string("_components/caution_home.html")
        named = render_to_string("_components/caution_home.html", {"home_ht_named_by": "Ilse Brandt"})
        assert "Ilse Brandt is recorded as having named you" in named
        assert "Do not power this at home." not in named

    def test_old_materials(self) -> None:
        drawn = render_to_string("_components/caution_materials.html")
        for material in ["asbestos", "PCB", "cadmium", "beryllia", "mercury", "radioactive"]:
            assert material in drawn
