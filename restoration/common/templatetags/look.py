"""Tags that draw what every page shares: marks of standing, codes, form fields, moments, paging."""

import datetime
import re
from dataclasses import dataclass
from typing import Any

from django import template
from django.core.paginator import Page
from django.forms import BoundField, CheckboxInput
from django.forms.forms import BaseForm
from django.http import HttpRequest
from django.urls import NoReverseMatch, reverse
from django.utils import timezone
from django.utils.dateformat import format as format_date
from django.utils.html import conditional_escape, format_html
from django.utils.safestring import SafeString, mark_safe

from restoration.engineering.plots import format_si

register = template.Library()

# Each standing has a shape of its own; the name of the shape is also the name of its tone.
SHAPES = {
    "not done": "not-done",
    "in hand": "in-hand",
    "passed": "passed",
    "on concession": "concession",
    "failed": "failed",
    "in doubt": "doubt",
    "withdrawn": "withdrawn",
    "void": "void",
}
LONG_CODE = 14  # characters; a longer code may break, or it would not fit a phone

# The strip in rows: what one goes to at the rack, what stands behind it, and what shapes a signal there.
SHEETS = (
    (
        ("Today", "commissioning:today"),
        ("Racks", "machine:rack-list"),
        ("My chassis", "workshop:chassis-mine"),
        ("Chassis", "machine:chassis-list"),
        ("Wire list", "machine:interconnect-list"),
        ("Follow", "machine:follow"),
        ("Faults", "faults:fault-list"),
        ("Changes", "commissioning:change-list"),
        ("Test again", "commissioning:again"),
    ),
    (
        ("What opens most", "commissioning:unlock"),
        ("Loops", "machine:loops"),
        ("Groups", "commissioning:group-list"),
        ("Rules", "commissioning:rule-list"),
        ("Queries", "machine:query-list"),
        ("Log book", "logbook:entry-list"),
        ("People", "people:person-list"),
    ),
    (
        ("Bench and place", "conditioning:bench-list"),
        ("Sums", "sums:index"),
        ("Stores", "workshop:stores"),
        ("Coils", "workshop:coils"),
    ),
)


def shape_of(standing: object) -> tuple[str, str]:
    """Return the word and the shape of a standing; nothing at all counts as void."""
    word = str(standing or "void")
    if word not in SHAPES:
        known = ", ".join(SHAPES)
        raise ValueError(f"There is no mark for the standing “{word}”. The standings are: {known}.")
    return word, SHAPES[word]


def draw(shape: str, size: str, label: str) -> SafeString:
    small = " s" if size == "s" else ""
    if not label:
        return format_html(
            '<svg class="mark{} st-{}" aria-hidden="true"><use href="#mark-{}"/></svg>', small, shape, shape
        )
    return format_html(
        '<svg class="mark{} st-{}" role="img" aria-label="{}"><title>{}</title><use href="#mark-{}"/></svg>',
        small,
        shape,
        label,
        label,
        shape,
    )


@register.simple_tag
def mark(standing: object, size: str = "", label: str = "") -> SafeString:
    """Draw the mark of a standing; its label is the word, unless another is given."""
    word, shape = shape_of(standing)
    return draw(shape, size, label or word)


@register.simple_tag
def standing_word(standing: object, word: str = "", size: str = "s") -> SafeString:
    """Draw the mark and write the word beside it, which alone is read aloud."""
    known, shape = shape_of(standing)
    return format_html('<span class="state st-{}">{}{}</span>', shape, draw(shape, size, ""), word or known)


@register.simple_tag
def standings() -> list[str]:
    """List the standings that have a meaning of their own, for the key."""
    return [word for word in SHAPES if word != "void"]


@register.simple_tag
def code(value: object) -> SafeString:
    """Write a code as it is painted on the machine, letter for letter."""
    text = "" if value is None else str(value)
    return format_html('<span class="code{}">{}</span>', " long" if len(text) > LONG_CODE else "", text)


@register.simple_tag
def when(moment: datetime.date | None, blank: str = "not recorded") -> SafeString:
    """Write a moment, or a day, as it stands in the log book; `blank` where there is none."""
    if moment is None or moment == "":
        return format_html("{}", blank)
    if not isinstance(moment, datetime.datetime):
        return format_html('<time datetime="{}">{}</time>', moment.isoformat(), format_date(moment, "j M Y"))
    local = timezone.localtime(moment) if timezone.is_aware(moment) else moment
    return format_html('<time datetime="{}">{}</time>', local.isoformat(), format_date(local, "j M Y, H:i"))


@register.simple_tag
def si(value: float | None, unit: str = "", digits: int = 3) -> str:
    """Write a value in SI units with the prefix people use; one that is not there is not known."""
    return format_si(None if value == "" else value, unit, digits)


@register.inclusion_tag("_components/field.html")
def field(bound: BoundField, optional: bool = True) -> dict[str, Any]:
    """Draw one field: label, help, what is wrong with it, and the place to write."""
    if not isinstance(bound, BoundField):
        raise ValueError(f"The field tag draws a field of a form, and was given {bound!r}.")
    widget = bound.field.widget
    return {
        "field": bound,
        "is_tick": isinstance(widget, CheckboxInput),
        "is_group": bool(bound.use_fieldset),
        "says_optional": optional and not bound.field.required and not isinstance(widget, CheckboxInput),
    }


CODE_IN_WORDS = re.compile(r"\b(?=[\w/-]*\d)[\w/]{1,8}(?:-[\w/]{1,8})+\b")


@register.filter
def whole_codes(sentence: str) -> SafeString:
    """Keep the codes in a sentence, such as C-10, from being broken at their hyphens.

    >>> whole_codes("Nearest: slot C-10 & its load-end.")
    'Nearest: slot <span class="whole">C-10</span> &amp; its load-end.'
    """
    words = str(conditional_escape(sentence))
    return mark_safe(CODE_IN_WORDS.sub(r'<span class="whole">\g<0></span>', words))  # noqa: S308  (escaped above)


@register.inclusion_tag("_components/form_errors.html")
def form_errors(form: BaseForm) -> dict[str, Any]:
    """Say above a form that nothing was saved and what must be mended, each with a way to its field."""
    if not form.is_bound or form.is_valid():
        return {"form": None}
    wrong = [bound for bound in form.visible_fields() if bound.errors]
    hidden = [error for bound in form.hidden_fields() for error in bound.errors]
    return {"form": form, "wrong": wrong, "whole": [*form.non_field_errors(), *hidden]}


@register.inclusion_tag("_components/paging.html", takes_context=True)
def paging(context: template.Context, page_obj: Page[Any], noun: str = "entries") -> dict[str, Any]:
    """Say which part of the list is shown and lead to the other parts, keeping what narrows it."""
    return {"page": page_obj, "noun": noun, "steps": list(steps(page_obj, context["request"]))}


@dataclass(frozen=True)
class Step:
    """A way to another part of a list."""

    word: str
    address: str
    rel: str = ""


def steps(page: Page[Any], request: HttpRequest) -> list[Step]:
    """List the parts one can go to from this one: first, previous, next, last."""
    found = []
    if page.has_previous():
        found.append(Step("First", page_address(request, 1)))
        found.append(Step("Previous", page_address(request, page.previous_page_number()), "prev"))
    if page.has_next():
        found.append(Step("Next", page_address(request, page.next_page_number()), "next"))
        found.append(Step("Last", page_address(request, page.paginator.num_pages)))
    return found


def page_address(request: HttpRequest, number: int) -> str:
    query = request.GET.copy()
    query["page"] = str(number)
    return f"{request.path}?{query.urlencode()}"


@dataclass(frozen=True)
class Sheet:
    """One entry of the strip: its word, its address, and whether one stands on it or on a page under it."""

    word: str
    address: str
    current: str


def current_mark(url_name: str, shown: str) -> str:
    """Tell, for aria-current, whether `shown` is the named page or one of the same noun.

    >>> current_mark("machine:rack-list", "machine:rack-detail")
    'true'
    >>> current_mark("machine:rack-list", "machine:chassis-list")
    ''
    """
    if shown == url_name:
        return "page"
    noun = url_name.rpartition("-")[0]
    return "true" if noun and shown.startswith(f"{noun}-") else ""


def sheets(request: HttpRequest) -> list[list[Sheet]]:
    """List the sheets of the strip that this site has, row by row."""
    match = getattr(request, "resolver_match", None)
    shown = match.view_name if match else ""
    return [_row_of_sheets(row, shown) for row in SHEETS]


def _row_of_sheets(row: tuple[tuple[str, str], ...], shown: str) -> list[Sheet]:
    found = []
    for word, url_name in row:
        try:
            found.append(Sheet(word, reverse(url_name), current_mark(url_name, shown)))
        except NoReverseMatch:
            continue
    return found


@register.inclusion_tag("_components/strip.html", takes_context=True)
def strip(context: template.Context) -> dict[str, Any]:
    """Draw the strip of sheets with one's own name and the way out; a visitor finds the way in."""
    request = context.get("request")
    person = getattr(request, "user", None)
    if request is None or person is None or not person.is_authenticated:
        return {"person": None, "request": request}
    roles = ", ".join(sorted(str(role) for role in getattr(person, "roles", ())))
    return {"person": person, "roles": roles, "sheets": sheets(request), "request": request}
