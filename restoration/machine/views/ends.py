"""The terminals of a design as ends of wires: what they drive with, and what they load with."""

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404

from restoration.common.acting import answer_form
from restoration.common.posts import posted
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
    form = RowsTogether(rows, posted(request), wrong=WRONG)

    def act() -> str:
        ends = [end for row in rows.forms if (end := row.end())]
        services.set_terminal_figures(design=design, rows=ends, by=who(request))
        return design.get_absolute_url()

    context = {"design": design, "rows": rows, "marks": known_marks(design)}
    return answer_form(request, form, act, "machine/design_ends.html", context)


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
