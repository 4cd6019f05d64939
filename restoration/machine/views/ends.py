"""The terminals of a design as ends of wires: what they drive with, and what they load with."""

from dataclasses import dataclass

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404

from restoration.common.acting import answer_form
from restoration.common.posts import posted
from restoration.common.versions import Theirs
from restoration.machine import services
from restoration.machine.ends import drive_in_words, load_in_words
from restoration.machine.forms.ends import EndFormSet, end_rows
from restoration.machine.forms.stages import known_marks
from restoration.machine.models import Design
from restoration.machine.views.form_page import EVERY_ROW_IS_READ, RowsTogether
from restoration.people.access import needs, who
from restoration.people.roles import Permission

WRONG = "One of the terminals cannot be stored as it is written; see the rows below."


@needs(Permission.EDIT_MACHINE)
def design_ends(request: HttpRequest, number: str) -> HttpResponse:
    design = get_object_or_404(Design, number=number)
    rows = EndFormSet(posted(request), initial=end_rows(design), prefix="end", form_kwargs=EVERY_ROW_IS_READ)
    form = EndsTogether(rows, posted(request), wrong=WRONG)
    form.initial["version"] = services.stamp_of(design)

    def act() -> str:
        ends = [end for row in rows.forms if (end := row.end())]
        seen = form.cleaned_data["version"]
        services.set_terminal_figures(design=design, rows=ends, by=who(request), seen=seen)
        return design.get_absolute_url()

    context = {"design": design, "rows": rows, "marks": known_marks(design)}
    return answer_form(request, form, act, "machine/design_ends.html", context, stored=_stamp, told=_what_they_wrote)


class EndsTogether(RowsTogether):
    """All terminals of a design, and what of them the writer saw."""

    version = forms.CharField(required=False, max_length=64, widget=forms.HiddenInput)


def _stamp(design: Design) -> dict[str, str]:
    return {"version": services.stamp_of(design)}


def _what_they_wrote(design: Design) -> dict[str, list[Theirs]]:
    """The terminals as another person has just left them."""
    return {"theirs": [_their_end(end) for end in ends_in_words(design)] or [Theirs("Terminals", "")]}


def _their_end(end: "EndInWords") -> Theirs:
    drives, loads = end.drives or "nothing said", end.loads or "nothing said"
    return Theirs(f"Terminal {end.terminal}", f"drives behind {drives}, loads with {loads}, {end.basis}")


@dataclass(frozen=True)
class EndInWords:
    """One terminal of a design, as its page says it."""

    terminal: str
    drives: str
    loads: str
    basis: str
    remarks: str


def ends_in_words(design: Design) -> list[EndInWords]:
    """The terminals of which something is written down, for the page of the design."""
    return [
        EndInWords(row.terminal, drive_in_words(row), load_in_words(row), row.get_basis_display(), row.remarks)
        for row in design.terminal_figures.all()
    ]
