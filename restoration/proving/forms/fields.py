"""Fields of forms that take figures as people write them."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from restoration.engineering.figures import Unit, read_figure


class FigureField(forms.CharField):
    """A figure that was measured, with or without its unit."""

    def __init__(self, unit: Unit, *, above_zero: bool = False, **kwargs: Any) -> None:
        kwargs.setdefault("required", False)
        super().__init__(max_length=40, **kwargs)
        self.unit, self.above_zero = unit, above_zero
        self.widget.attrs.update({"data-figure": "", "autocomplete": "off"})
        if not unit.may_be_open:  # a phone's keys for figures have no k, M or OL
            self.widget.attrs["inputmode"] = "decimal"

    def clean(self, value: Any) -> float | None:
        """Read the figure; an empty field means that it was not measured."""
        text = super().clean(value)
        if not text:
            return None
        try:
            figure = read_figure(text, self.unit)
        except ValueError as wrong:
            raise ValidationError(str(wrong)) from wrong
        if figure < 0 and self.unit.symbol in ("Ω", "s"):
            raise ValidationError(f"“{text}” is below zero, and this cannot be.")
        if self.above_zero and figure <= 0:
            raise ValidationError(f"“{text}” is not above zero.")
        return figure
