"""How the list of the stores is narrowed: by an address that people can share."""

from typing import Any

import django_filters
from django import forms
from django.core.exceptions import ValidationError
from django.db.models import Q, QuerySet

from restoration.workshop.models import Grade, PartKind, StoresLine
from restoration.workshop.stores.fields import read_value

HAIR = 1e-9  # a value asked for and a value stored may differ by their last binary digit
TO_HAND = (("yes", "at least one"), ("no", "none left"))


class _ReadsValues(forms.Form):
    """Reads the ends of the range of values as those of resistors or of capacitors."""

    def clean(self) -> dict[str, Any]:
        """Without knowing which, 100 means nothing."""
        given = super().clean() or self.cleaned_data
        for name in ("least", "most"):
            text, given[name] = given.get(name), None
            if text:
                given[name] = self._read(name, text, given.get("kind"))
        if None not in (given["least"], given["most"]) and given["least"] > given["most"]:
            self.add_error("most", "The greatest value is below the least; change one of them.")
        return given

    def _read(self, name: str, text: str, kind: str | None) -> float | None:
        try:
            if not kind:
                raise ValidationError(f"Choose resistors or capacitors first: “{text}” is a value of either.")
            return read_value(text, kind)
        except ValidationError as wrong:
            self.add_error(name, wrong)
            return None


class StoresFilter(django_filters.FilterSet):
    """Parts by what they are, by value, grade, place, and whether any is left."""

    kind = django_filters.ChoiceFilter(label="What it is", choices=PartKind.choices, empty_label="either")
    least = django_filters.CharFilter(label="Value from, as 4k7", method="from_value")
    most = django_filters.CharFilter(label="Value to, as 0.1 µF", method="to_value")
    grade = django_filters.ChoiceFilter(label="Grade", choices=Grade.choices, empty_label="any")
    to_hand = django_filters.ChoiceFilter(label="To hand", choices=TO_HAND, method="by_hand", empty_label="any")
    text = django_filters.CharFilter(label="Make or place", method="holding")

    class Meta:
        model = StoresLine
        fields: list[str] = []
        form = _ReadsValues

    def from_value(self, lines: QuerySet[StoresLine], name: str, value: float) -> QuerySet[StoresLine]:
        """Those of this value or more."""
        return lines.filter(value__gte=value * (1 - HAIR))

    def to_value(self, lines: QuerySet[StoresLine], name: str, value: float) -> QuerySet[StoresLine]:
        """Those of this value or less."""
        return lines.filter(value__lte=value * (1 + HAIR))

    def by_hand(self, lines: QuerySet[StoresLine], name: str, word: str) -> QuerySet[StoresLine]:
        """Those of which some are there, or those that are used up."""
        return lines.filter(quantity__gt=0) if word == "yes" else lines.filter(quantity=0)

    def holding(self, lines: QuerySet[StoresLine], name: str, text: str) -> QuerySet[StoresLine]:
        """Those with the text in their make, place or remarks."""
        return lines.filter(Q(make__icontains=text) | Q(place__icontains=text) | Q(remarks__icontains=text))
