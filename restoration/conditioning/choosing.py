"""Parts to look at on a link, as an address says them: chosen from the proposals, or typed by hand."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from restoration.engineering.figures import OHMS, PICOFARADS
from restoration.engineering.in_place.arrangement import CAPACITOR, ROLES, Arrangement
from restoration.machine.forms.fields import FigureField

MOST_TOLD = 600  # letters of an address that are read
FROM_STORES = "stores-"


@dataclass(frozen=True)
class Chosen:
    """An arrangement, and for each role the key of the offer that it is made of, where it was chosen from one."""

    arrangement: Arrangement
    keys: Mapping[str, str]

    @property
    def words(self) -> str:
        """How an address says it: series_ohm:330@stores-12,shunt_ohm:1000."""
        parts = self.arrangement.parts()
        return ",".join(f"{part.role}:{part.value!r}{self._key(part.role)}" for part in parts) or "nothing"

    def _key(self, role: str) -> str:
        return f"@{self.keys[role]}" if self.keys.get(role) else ""

    @property
    def stores_lines(self) -> dict[str, int]:
        """The stores lines that parts come from, by role."""
        numbers = {
            role: key.removeprefix(FROM_STORES) for role, key in self.keys.items() if key.startswith(FROM_STORES)
        }
        return {role: int(number) for role, number in numbers.items() if number.isdecimal()}


def read_choice(words: str) -> Chosen:
    """Read what an address says was chosen; raises ValueError with a sentence for what is no choice.

    >>> read_choice("series_ohm:330.0@stores-12").arrangement.series_ohm
    330.0
    >>> read_choice("lid:1")
    Traceback (most recent call last):
    ValueError: “lid:1” names no part of a link; choose one from the list again.
    """
    if words == "nothing":
        return Chosen(Arrangement(), {})
    values, keys = {}, {}
    if len(words) > MOST_TOLD:
        raise ValueError(f"The address names parts in {len(words)} letters, and at most {MOST_TOLD} are read.")
    for word in words.split(","):
        place, _, key = word.partition("@")
        role, _, value = place.partition(":")
        if role not in ROLES:
            raise ValueError(f"“{word[:40]}” names no part of a link; choose one from the list again.")
        if role in values:
            raise ValueError(f"“{word[:40]}” is a second part in the same place; choose one from the list again.")
        try:
            values[role] = float(value)
        except ValueError:
            raise ValueError(f"“{word[:40]}” gives no value; choose a part from the list again.") from None
        keys[role] = key
    return Chosen(Arrangement.of_dict(values), keys)


class TryForm(forms.Form):
    """Parts to try by hand, as people write their values; an empty field is no part."""

    series_ohm = FigureField(OHMS, label="In series at the source", help_text="Damps ringing, such as 330 or 1k.")
    attenuator_ohm = FigureField(OHMS, label="In series at the load", help_text="Upper resistor of a divider.")
    attenuator_f = FigureField(PICOFARADS, label="Capacitor across that", help_text="Such as 47p.")
    shunt_ohm = FigureField(OHMS, label="From the load terminal to earth", help_text="Lower resistor, or a terminator.")
    shunt_coupling_f = FigureField(PICOFARADS, label="Capacitor in series with that", help_text="Such as 10n.")
    source_shunt_ohm = FigureField(OHMS, label="From the source terminal to earth")

    def clean(self) -> dict[str, Any]:
        """Parts that can stand together on a wire."""
        given = super().clean() or self.cleaned_data
        for role in [role for role, value in given.items() if value is not None and value <= 0]:
            unit = "0 F" if ROLES[role][0] == CAPACITOR else "0 Ω"
            self.add_error(role, f"A part that is there has a value above {unit}; leave the field empty for none.")
        if not self.errors:
            try:
                self.arrangement = Arrangement.of_dict({role: value for role, value in given.items() if value})
            except ValueError as refused:
                raise ValidationError(str(refused)) from refused
        return given

    @property
    def is_asked(self) -> bool:
        """Whether the address names any part."""
        return any(self.data.get(name) for name in self.fields)


def as_typed(arrangement: Arrangement) -> dict[str, float]:
    """What stands in the form for parts by hand when it is opened."""
    return arrangement.as_dict()
