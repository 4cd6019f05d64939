"""Fields that several forms share: painted codes, figures with units."""

import re
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from restoration.common.text import can_be_stored
from restoration.engineering.figures import Unit, plain_number, read_figure

UNPRINTED = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufffe\uffff]")
ROWS_END = 2**63  # no row of any database has this number


class CodeField(forms.CharField):
    """A code as it is painted: any sign that can be printed, in one line."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**{"max_length": 60, **kwargs})
        self.widget.attrs.update({"autocomplete": "off", "autocapitalize": "off", "spellcheck": "false"})

    def clean(self, value: Any) -> str:
        """Refuse what cannot be painted."""
        found = UNPRINTED.search(str(value or "").strip())
        if found:
            raise ValidationError(
                f"The text holds the control character U+{ord(found[0]):04X}; only printed characters are taken."
            )
        return str(super().clean(value))


class TickedField(forms.ModelMultipleChoiceField):
    """Several things to tick; what names none of them is refused, also where no database could be asked for it."""

    def clean(self, value: Any) -> Any:
        """Find them; a text of no sort, or a number beyond any row, is none of them."""
        for given in map(str, value or ()):
            if not can_be_stored(given) or (self.to_field_name is None and _is_beyond_rows(given)):
                raise ValidationError(self.error_messages["invalid_choice"], params={"value": given[:40]})
        return super().clean(value)


def _is_beyond_rows(given: str) -> bool:
    try:
        return abs(int(given)) >= ROWS_END
    except ValueError:
        return False


class FigureField(forms.CharField):
    """A figure with or without its unit, read into SI units; empty means that nothing is said."""

    def __init__(self, unit: Unit, **kwargs: Any) -> None:
        super().__init__(**{"required": False, "max_length": 40, **kwargs})
        self.unit = unit
        self.widget.attrs.update({"inputmode": "decimal", "data-figure": "", "autocomplete": "off"})

    def clean(self, value: Any) -> float | None:
        """Read the figure, or say what is taken."""
        text = super().clean(value)
        try:
            return read_figure(text, self.unit) if text else None
        except ValueError as wrong:
            raise ValidationError(str(wrong)) from wrong

    def prepare_value(self, value: Any) -> Any:
        """Write a stored figure in the usual unit; what a person typed stays as it is."""
        return plain_number(value, self.unit) if isinstance(value, float) else value
