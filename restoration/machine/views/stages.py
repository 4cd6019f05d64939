"""The stages of a design: which inputs reach which outputs, and which stage is a barrier."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404

from restoration.common.acting import answer_form
from restoration.common.posts import posted
from restoration.machine import services
from restoration.machine.forms.stages import StageFormSet, known_marks, stage_rows
from restoration.machine.models import Design
from restoration.machine.views.form_page import EVERY_ROW_IS_READ, RowsTogether
from restoration.people.access import needs, who
from restoration.people.roles import Permission

WRONG = "One of the stages cannot be stored as it is written; see the rows below."


@needs(Permission.EDIT_MACHINE)
def design_stages(request: HttpRequest, number: str) -> HttpResponse:
    design = get_object_or_404(Design, number=number)
    marks = known_marks(design)
    told = {"known_marks": frozenset(marks), **EVERY_ROW_IS_READ}
    rows = StageFormSet(posted(request), initial=stage_rows(design), prefix="stage", form_kwargs=told)
    form = RowsTogether(rows, posted(request), wrong=WRONG)

    def act() -> str:
        stages = [stage for row in rows.forms if (stage := row.stage())]
        services.set_stages(design=design, stages=stages, by=who(request))
        return design.get_absolute_url()

    context = {"design": design, "rows": rows, "marks": marks}
    return answer_form(request, form, act, "machine/design_stages.html", context)


def stages_in_words(design: Design) -> dict[str, Any]:
    """The stages for the page of the design, and which marks they name that no slot of it has."""
    stages = services.stages_of(design)
    known = set(known_marks(design)) if stages else set()
    named = dict.fromkeys(mark for stage in stages for mark in (*stage.inputs, *stage.outputs))
    return {"stages": stages, "marks_not_there": [mark for mark in named if known and mark not in known]}
