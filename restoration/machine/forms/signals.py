"""Forms for signals and their limits."""

from collections.abc import Iterator
from typing import Any

from django import forms
from django.forms import BoundField

from restoration.common.posts import TokenForm
from restoration.machine.figures import UNITS
from restoration.machine.forms.fields import CodeField, FigureField
from restoration.machine.models import Signal
from restoration.machine.models.limits import Quantity
from restoration.machine.services import Limit

SIDES = ("least", "nominal", "most")


class SignalForm(TokenForm):
    """A signal that has no name yet."""

    name = CodeField(label="Name", max_length=60)
    remarks = forms.CharField(label="Remarks", required=False, widget=forms.Textarea, max_length=10000)


class LimitsForm(TokenForm):
    """Any of least, nominal and most for each quantity, written in the units that people use."""

    remarks = forms.CharField(label="Remarks", required=False, widget=forms.Textarea, max_length=10000)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for quantity in Quantity:
            for side in SIDES:
                self.fields[f"{quantity}_{side}"] = FigureField(UNITS[quantity], label=side.capitalize())

    def rows(self) -> Iterator[tuple[str, list[BoundField]]]:
        """The quantities with their three fields, for the page."""
        for quantity in Quantity:
            yield f"{quantity.label}, {UNITS[quantity].usual}", [self[f"{quantity}_{side}"] for side in SIDES]

    def clean(self) -> dict[str, Any]:
        """No least above its most."""
        given = super().clean() or self.cleaned_data
        for quantity in Quantity:
            least, most = given.get(f"{quantity}_least"), given.get(f"{quantity}_most")
            if least is not None and most is not None and least > most:
                self.add_error(f"{quantity}_least", "The least value of a limit cannot be above its most.")
        return given

    def limits(self) -> list[Limit]:
        """What is said, in SI units; a quantity with nothing in its row has no limit."""
        rows = [(quantity, [self.cleaned_data[f"{quantity}_{side}"] for side in SIDES]) for quantity in Quantity]
        return [Limit(str(quantity), *figures) for quantity, figures in rows if any(f is not None for f in figures)]


def limits_as_stored(signal: Signal) -> dict[str, Any]:
    """What stands in the form when it is opened."""
    stored = {f"{limit.quantity}_{side}": getattr(limit, side) for limit in signal.limits.all() for side in SIDES}
    return {"remarks": signal.remarks, **stored}
