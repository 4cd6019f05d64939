"""Forms for the kinds of wire."""

from typing import Any

from django import forms

from restoration.common.posts import TokenForm
from restoration.common.versions import VersionField
from restoration.engineering.figures import MILLIMETRES, NUMBER, plain_number
from restoration.machine.forms.fields import CodeField, FigureField
from restoration.machine.models import WireForm, WireKind
from restoration.machine.services import WireGiven


class WireKindEditForm(TokenForm):
    """How a wire lies, how thick it is, and how far it is from what carries its current back."""

    version = VersionField(required=False)
    form = forms.ChoiceField(label="How it lies", choices=WireForm.choices)
    conductor_m = FigureField(
        MILLIMETRES,
        label="Diameter of the conductor, mm",
        required=True,
        help_text="Of the bare metal, without its covering.",
        error_messages={"required": "Give the diameter of the bare conductor in millimetres."},
    )
    spacing_m = FigureField(
        MILLIMETRES,
        label="Distance, mm",
        required=True,
        help_text="Over metal: from the wire's centre to the metal. Two wires: between their centres. "
        "Screened: the inner diameter of the screen.",
        error_messages={"required": "Give the distance to what carries the current back, in millimetres."},
    )
    permittivity = FigureField(
        NUMBER,
        label="Permittivity of what is between",
        required=True,
        initial="1",
        help_text="1 for air; with a covering on the wire somewhere between 1 and that of the covering.",
        error_messages={"required": "Give the relative permittivity: 1 for air."},
    )
    remarks = forms.CharField(
        label="Remarks", required=False, widget=forms.Textarea(attrs={"rows": 3}), max_length=4000
    )

    def given(self) -> WireGiven:
        """What is stored of it."""
        return WireGiven(**{name: self.cleaned_data[name] for name in WireGiven.__dataclass_fields__})


class WireKindForm(WireKindEditForm):
    """A kind of wire that is not on the list yet."""

    name = CodeField(
        label="Name",
        help_text="As the wire list calls it, letter for letter.",
        error_messages={"required": "Give the name that the wire list uses."},
    )
    field_order = ["name", "form", "conductor_m", "spacing_m", "permittivity", "remarks"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        del self.fields["version"]


def wire_kind_as_stored(kind: WireKind) -> dict[str, Any]:
    """What stands in the form when it is opened."""
    return {
        "version": kind.version,
        "form": kind.form,
        "conductor_m": plain_number(kind.conductor_m, MILLIMETRES),
        "spacing_m": plain_number(kind.spacing_m, MILLIMETRES),
        "permittivity": plain_number(kind.permittivity, NUMBER),
        "remarks": kind.remarks,
    }
