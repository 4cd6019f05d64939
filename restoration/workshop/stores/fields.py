"""Fields for parts as people write them: 4k7, 100p, ½ W, 5 %."""

import re
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from restoration.engineering.figures import WATTS, read_figure
from restoration.machine.forms.fields import FigureField
from restoration.workshop.parts import VALUE_UNITS

_SIGNS = {"⅛": 0.125, "¼": 0.25, "⅓": 1 / 3, "½": 0.5, "⅔": 2 / 3, "¾": 0.75}
_WITH_A_SIGN = re.compile(rf"(\d*)\s*([{''.join(_SIGNS)}])")
_OF_TWO_NUMBERS = re.compile(r"(?:(\d+)[\s-]+)?(\d{1,3})\s*/\s*([1-9]\d{0,2})(?!\d)")


def without_fractions(text: str) -> str:
    """Write the fractions that are printed on resistors as decimals.

    >>> without_fractions("½ W"), without_fractions("1 1/2W"), without_fractions("0.5")
    ('0.5 W', '1.5W', '0.5')
    """
    text = _WITH_A_SIGN.sub(lambda found: f"{int(found[1] or 0) + _SIGNS[found[2]]:.6g}", text)
    return _OF_TWO_NUMBERS.sub(lambda found: f"{int(found[1] or 0) + int(found[2]) / int(found[3]):.6g}", text)


class WattsField(FigureField):
    """A rating in watts; ½ W is taken as it is printed."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(WATTS, **kwargs)
        self.widget.attrs["inputmode"] = "text"

    def clean(self, value: Any) -> float | None:
        """Read the rating."""
        return super().clean(without_fractions(str(value or "")))


class ValueField(forms.CharField):
    """The value of a part as it is written; what it means follows from what the part is."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**{"max_length": 40, **kwargs})
        self.widget.attrs.update({"autocomplete": "off", "autocapitalize": "off", "spellcheck": "false"})


def read_value(text: str, kind: str) -> float:
    """Read the value of a resistor or of a capacitor, or say what is taken."""
    try:
        return read_figure(text, VALUE_UNITS[kind])
    except ValueError as wrong:
        raise ValidationError(str(wrong)) from wrong
