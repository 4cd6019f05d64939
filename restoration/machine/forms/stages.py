"""The form for the stages of a design: all of them at once."""

from collections.abc import Collection
from typing import Any

from django import forms
from django.forms import BaseFormSet, formset_factory

from restoration.machine.forms.fields import CodeField
from restoration.machine.models import Design, Terminal
from restoration.machine.services import StageGiven, stages_of

MARK = CodeField()
ONE_A_LINE = "One mark to a line, as on the drawing."


class MarksField(forms.CharField):
    """Marks of terminals, one to a line; a mark may hold any sign that can be printed."""

    def __init__(self, **kwargs: Any) -> None:
        area = forms.Textarea(attrs={"rows": 4, "autocomplete": "off", "autocapitalize": "off", "spellcheck": "false"})
        super().__init__(**{"required": False, "max_length": 20000, "widget": area, "help_text": ONE_A_LINE, **kwargs})

    def clean(self, value: Any) -> tuple[str, ...]:
        """Read the marks, in their order, where a text was written."""
        lines = [line.strip() for line in str(super().clean(value)).replace("\r\n", "\n").split("\n")]
        return tuple(MARK.clean(line) for line in lines if line)

    def prepare_value(self, value: Any) -> Any:
        """Write stored marks one to a line; what a person typed stays as it is."""
        return "\n".join(value) if isinstance(value, tuple) else value


class StageForm(forms.Form):
    """One stage; a row left empty, or ticked to be taken out, is left out."""

    name = forms.CharField(label="Stage", max_length=80, required=False)
    is_barrier = forms.BooleanField(label="A barrier: it restores amplitude and timing", required=False)
    parts = forms.CharField(label="Valves and parts", max_length=200, required=False)
    inputs = MarksField(label="Inputs")
    outputs = MarksField(label="Outputs")
    take_out = forms.BooleanField(label="Take this stage out", required=False)

    def __init__(self, *args: Any, known_marks: Collection[str] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.known_marks = known_marks

    def clean(self) -> dict[str, Any]:
        """A stage has a name; several marks on one line are none."""
        given = super().clean() or self.cleaned_data
        if given.get("take_out"):
            return given
        if not given.get("name") and any(given.get(name) for name in ("is_barrier", "parts", "inputs", "outputs")):
            self.add_error("name", "Give the stage a name, as the drawing calls it.")
        for field in ("inputs", "outputs"):
            for mark in given.get(field) or ():
                self._refuse_a_row_of_marks(field, mark)
        return given

    def _refuse_a_row_of_marks(self, field: str, mark: str) -> None:
        parts = mark.replace(",", " ").replace(";", " ").split()
        if len(parts) > 1 and mark not in self.known_marks and set(parts) <= set(self.known_marks):
            self.add_error(field, f"“{mark}” is no terminal of this design, but its parts are; write one to a line.")

    def stage(self) -> StageGiven | None:
        """The stage as it is stored; none for a row that is left out."""
        given = dict(self.cleaned_data)
        if given.pop("take_out", False) or not given.get("name"):
            return None
        return StageGiven(**given)


StageFormSet = formset_factory(StageForm, formset=BaseFormSet, extra=2, max_num=100, absolute_max=120)


def stage_rows(design: Design) -> list[dict[str, Any]]:
    """What stands in the rows of the form when it is opened."""
    return [
        {
            "name": stage.name,
            "is_barrier": stage.is_barrier,
            "parts": stage.parts,
            "inputs": stage.inputs,
            "outputs": stage.outputs,
        }
        for stage in stages_of(design)
    ]


def known_marks(design: Design) -> list[str]:
    """The marks of the terminals that the slots of this design have."""
    marks = Terminal.objects.filter(slot__design=design).order_by("code").values_list("code", flat=True)
    return list(marks.distinct())
