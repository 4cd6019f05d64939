"""Forms for designs, their issues, and the figures of the bench."""

from typing import Any

from django import forms
from django.forms import BaseFormSet, formset_factory
from django.utils import timezone

from restoration.common.posts import TokenForm
from restoration.engineering.figures import OHMS, PICOFARADS, with_unit
from restoration.machine.figures import UNITS
from restoration.machine.forms.fields import CodeField, FigureField
from restoration.machine.models import BenchPoint, Design
from restoration.machine.models.limits import Quantity
from restoration.machine.services import BenchFigureLimit


class DesignEditForm(TokenForm):
    """What a design is called, and what to know of it."""

    title = forms.CharField(label="Title", max_length=120)
    remarks = forms.CharField(label="Remarks", required=False, widget=forms.Textarea, max_length=10000)


class DesignForm(DesignEditForm):
    """A design that is not on the list yet."""

    number = CodeField(label="Drawing number")
    field_order = ["number", "title", "remarks"]


class IssueForm(TokenForm):
    """A new issue of a drawing, which becomes the one to build to."""

    letter = CodeField(label="Issue", max_length=10, help_text="The letter in the title block of the drawing.")
    issued_on = forms.DateField(
        label="Issued on", initial=timezone.localdate, widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    )
    reason = forms.CharField(label="What changed, and why", required=False, widget=forms.Textarea, max_length=10000)


class BenchPointForm(forms.Form):
    """One figure a chassis should show on the bench; a row without a place is left out."""

    place = forms.CharField(label="Where", max_length=80, required=False)
    quantity = forms.ChoiceField(label="What", choices=Quantity.choices, required=False, initial=Quantity.AMPLITUDE)
    least = forms.CharField(label="Least", max_length=40, required=False)
    nominal = forms.CharField(label="Nominal", max_length=40, required=False)
    most = forms.CharField(label="Most", max_length=40, required=False)
    load_resistance_ohm = FigureField(OHMS, label="Load, Ω")
    load_capacitance_f = FigureField(PICOFARADS, label="Load, pF")

    def clean(self) -> dict[str, Any]:
        """Read the three figures in the unit of what is measured."""
        given = super().clean() or self.cleaned_data
        if given.get("place") and given.get("quantity"):
            for name in ("least", "nominal", "most"):
                self._read(name, given)
            if not self.errors and all(given[name] is None for name in ("least", "nominal", "most")):
                self.add_error("least", "A figure needs at least one of least, nominal and most.")
        elif given.get("place"):
            self.add_error("quantity", "Say what is read there: a DC level, an amplitude, a duration.")
        elif any(given.get(name) for name in ("least", "nominal", "most")):
            self.add_error("place", "Say where on the chassis this figure is read.")
        return given

    def _read(self, name: str, given: dict[str, Any]) -> None:
        try:
            given[name] = FigureField(UNITS[given["quantity"]]).clean(given.get(name))
        except forms.ValidationError as wrong:
            self.add_error(name, wrong)

    def figure(self) -> BenchFigureLimit | None:
        """The figure as it is stored; none for a row left empty."""
        given = {name: value for name, value in self.cleaned_data.items() if name != "DELETE"}
        return BenchFigureLimit(**given) if given.get("place") else None


class _BenchPoints(BaseFormSet):
    def clean(self) -> None:
        """Name no figure twice."""
        named = [(form.cleaned_data.get("place"), form.cleaned_data.get("quantity")) for form in self.forms]
        twice = {place for place, quantity in named if place and named.count((place, quantity)) > 1}
        if not any(self.errors) and twice:
            raise forms.ValidationError(f"These places have the same figure twice: {', '.join(sorted(twice))}.")


BenchPointFormSet = formset_factory(BenchPointForm, formset=_BenchPoints, extra=3, max_num=200, absolute_max=250)


def bench_rows(design: Design) -> list[dict[str, Any]]:
    """What stands in the rows of the form when it is opened."""
    return [_row(point) for point in design.bench_points.all()]


def _row(point: BenchPoint) -> dict[str, Any]:
    figures = {name: getattr(point, name) for name in ("least", "nominal", "most")}
    unit = UNITS[point.quantity]
    return {
        "place": point.place,
        "quantity": point.quantity,
        "load_resistance_ohm": point.load_resistance_ohm,
        "load_capacitance_f": point.load_capacitance_f,
        **{name: with_unit(value, unit) for name, value in figures.items() if value is not None},
    }
