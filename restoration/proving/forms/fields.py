"""Fields of forms that take figures as people write them."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from restoration.proving.figures import read_figure


class FigureField(forms.CharField):
    """A figure with or without its unit; `bare` is the prefix meant where none is written."""

    def __init__(self, unit: str, *, bare: str = "", above_zero: bool = False, **kwargs: Any) -> None:
        kwargs.setdefault("required", False)
        super().__init__(max_length=40, **kwargs)
        self.unit, self.bare, self.above_zero = unit, bare, above_zero
        self.widget.attrs.update({"data-figure": "", "autocomplete": "off"})
        if unit != "ohm":  # a phone's keys for figures have no k, M or OL
            self.widget.attrs["inputmode"] = "decimal"

    def clean(self, value: Any) -> float | None:
        """Read the figure; an empty field means that it was not measured."""
        text = super().clean(value)
        if not text:
            return None
        figure = read_figure(text, self.unit, self.bare)
        if figure < 0 and self.unit in ("ohm", "s"):
            raise ValidationError(f"“{text}” is below zero, and this cannot be.")
        if self.above_zero and figure <= 0:
            raise ValidationError(f"“{text}” is not above zero.")
        return figure
