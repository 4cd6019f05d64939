"""Forms for rails and earths."""

from collections.abc import Iterator
from itertools import groupby
from typing import Any

from django import forms
from django.forms.boundfield import BoundWidget

from restoration.common.posts import TokenForm
from restoration.machine.forms.fields import CodeField, TickedField
from restoration.machine.models import Rack, RailKind, Slot


class _Slots(TickedField):
    def label_from_instance(self, slot: Any) -> str:
        return f"{slot.code}, {slot.function}" if slot.function else str(slot.code)


class RailEditForm(TokenForm):
    """What a rail carries, and which slots hang on it."""

    kind = forms.ChoiceField(label="It carries", choices=RailKind.choices)
    function = forms.CharField(label="What it is for", max_length=120, required=False)
    slots = _Slots(
        Slot.objects.none(), label="Slots that hang on it", required=False, widget=forms.CheckboxSelectMultiple
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["slots"].queryset = Slot.objects.select_related("rack").from_the_top()  # type: ignore[attr-defined]

    def by_rack(self) -> Iterator[tuple[Rack | None, list[BoundWidget], bool]]:
        """The boxes to tick, rack by rack as they stand, and whether any of a rack is ticked."""
        for rack, boxes in groupby(self["slots"].subwidgets, key=lambda box: box.data["value"].instance.rack):
            there = list(boxes)
            yield rack, there, any(box.data["selected"] for box in there)


class RailForm(RailEditForm):
    """A rail that is not on the list yet."""

    code = CodeField(label="Code", help_text="As it is marked at the supply.")
    field_order = ["code", "kind", "function", "slots"]


class EarthEditForm(TokenForm):
    """What an earth is for, and which racks share it."""

    function = forms.CharField(label="What it is for", max_length=120, required=False)
    racks = TickedField(
        Rack.objects.in_order(), label="Racks that share it", required=False, widget=forms.CheckboxSelectMultiple
    )


class EarthForm(EarthEditForm):
    """An earth that is not on the list yet."""

    code = CodeField(label="Code", help_text="As it is marked at the bar or the bond.")
    field_order = ["code", "function", "racks"]
