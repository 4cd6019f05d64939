"""The form for the terminals of a design as ends of wires: all of them at once."""

from typing import Any

from django import forms
from django.db.models import Count
from django.forms import BaseFormSet, formset_factory

from restoration.machine.ends import END_FIGURES
from restoration.machine.figures import figure_in_words
from restoration.machine.forms.fields import CodeField, FigureField
from restoration.machine.models import Basis, Design, Terminal
from restoration.machine.services import EndGiven, ends_of

ROWS_OFFERED = 24  # terminals that wires are joined to and of which nothing is said stand in rows of their own


class EndForm(forms.Form):
    """One terminal; a row of which no figure is said, or that is ticked to be taken out, is left out."""

    terminal = CodeField(label="Terminal", required=False)
    drive_ohm = FigureField(END_FIGURES["drive_ohm"].unit, label="Drives behind, Ω")
    drive_most_a = FigureField(END_FIGURES["drive_most_a"].unit, label="Gives at most, mA")
    load_ohm = FigureField(END_FIGURES["load_ohm"].unit, label="Load, Ω")
    load_f = FigureField(END_FIGURES["load_f"].unit, label="Load, pF")
    grid_stopper_ohm = FigureField(END_FIGURES["grid_stopper_ohm"].unit, label="Grid stopper, Ω")
    basis = forms.ChoiceField(label="How it is known", choices=Basis.choices, initial=Basis.DRAWING, required=False)
    remarks = forms.CharField(label="Remarks", max_length=200, required=False)
    take_out = forms.BooleanField(label="Take this terminal out", required=False)

    def clean(self) -> dict[str, Any]:
        """A figure belongs to a terminal."""
        given = super().clean() or self.cleaned_data
        if self._says_a_figure() and not given.get("terminal") and "terminal" not in self.errors:
            self.add_error("terminal", "Give the mark of the terminal, as on the drawing.")
        if given.get("remarks") and not self._says_a_figure() and not given.get("take_out") and not self.errors:
            self.add_error("remarks", "A remark stands beside a figure; give one of the figures too.")
        return given

    def _says_a_figure(self) -> bool:
        return any(self.cleaned_data.get(name) is not None for name in END_FIGURES)

    def end(self) -> EndGiven | None:
        """The terminal as it is stored; none for a row that is left out."""
        given = dict(self.cleaned_data)
        if given.pop("take_out", False) or not self._says_a_figure():
            return None
        return EndGiven(**{**given, "basis": given["basis"] or Basis.DRAWING})


class _Ends(BaseFormSet):
    def clean(self) -> None:
        """Name no terminal twice."""
        ends = [end.terminal for form in self.forms if not form.errors and (end := form.end())]
        twice = sorted({mark for mark in ends if ends.count(mark) > 1})
        if not any(self.errors) and twice:
            raise forms.ValidationError(f"These terminals stand in two rows each: {', '.join(twice)}.")


EndFormSet = formset_factory(EndForm, formset=_Ends, extra=2, max_num=250, absolute_max=300)


def end_rows(design: Design) -> list[dict[str, Any]]:
    """What stands in the rows of the form when it is opened: what is known, then terminals with wires on them."""
    known = ends_of(design)
    said = {end.terminal for end in known}
    joined = [mark for mark in joined_marks(design) if mark not in said]
    return [_row(end) for end in known] + [{"terminal": mark} for mark in joined[:ROWS_OFFERED]]


def _row(end: EndGiven) -> dict[str, Any]:
    """A terminal as the form shows it: 1 MΩ is read more surely than 1000000."""
    figures = {name: value for name in END_FIGURES if (value := getattr(end, name)) is not None}
    written = {name: figure_in_words(value, END_FIGURES[name].unit) for name, value in figures.items()}
    return {"terminal": end.terminal, "basis": end.basis, "remarks": end.remarks, **written}


def joined_marks(design: Design) -> list[str]:
    """The marks of those terminals of the slots of this design that wires are joined to, the busiest first."""
    terminals = Terminal.objects.filter(slot__design=design).values("code")
    wires = terminals.annotate(wires=Count("driving", distinct=True) + Count("loading", distinct=True))
    return list(wires.filter(wires__gt=0).order_by("-wires", "code").values_list("code", flat=True))
