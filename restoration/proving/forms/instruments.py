"""What is filled in about instruments, and about concessions."""

from typing import Any

from django import forms

from restoration.common.posts import TokenForm
from restoration.common.versions import VersionField
from restoration.proving.models import Instrument
from restoration.proving.models.instruments import InstrumentKind
from restoration.proving.services import InstrumentFacts

DAY = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")


class InstrumentEditForm(TokenForm):
    """What is known of an instrument."""

    version = VersionField()
    kind = forms.ChoiceField(label="What it is", choices=InstrumentKind.choices)
    description = forms.CharField(label="Maker and type", required=False, max_length=120)
    bandwidth_mhz = forms.FloatField(label="Bandwidth, MHz", required=False, min_value=0.001, max_value=1e5)
    gain_accuracy_percent = forms.FloatField(
        label="Largest error of its scale, %",
        min_value=0.001,
        max_value=50,
        help_text="Of the reading, either way. 3 % is usual for an oscilloscope.",
    )
    check_due_on = forms.DateField(label="Next check due", required=False, widget=DAY)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("bandwidth_mhz", "gain_accuracy_percent"):
            self.fields[name].widget.attrs["step"] = "any"

    def facts(self) -> InstrumentFacts:
        """Give them in SI units."""
        given = self.cleaned_data
        bandwidth = given["bandwidth_mhz"]
        return InstrumentFacts(
            kind=given["kind"],
            description=given["description"],
            bandwidth_hz=None if bandwidth is None else float(f"{bandwidth * 1e6:.12g}"),
            gain_accuracy=float(f"{given['gain_accuracy_percent'] / 100:.12g}"),
            check_due_on=given["check_due_on"],
        )


class InstrumentForm(InstrumentEditForm):
    """An instrument that is not on the list yet."""

    mark = forms.CharField(
        label="Mark", max_length=60, help_text="As it is written on the instrument, such as OSC-2. It is used once."
    )
    field_order = ["mark", "kind", "description", "bandwidth_mhz", "gain_accuracy_percent", "check_due_on"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        del self.fields["version"]


def instrument_as_stored(instrument: Instrument) -> dict[str, Any]:
    """What stands in the form when it is opened."""
    bandwidth = instrument.bandwidth_hz
    return {
        "version": instrument.version,
        "kind": instrument.kind,
        "description": instrument.description,
        "bandwidth_mhz": None if bandwidth is None else float(f"{bandwidth / 1e6:.12g}"),
        "gain_accuracy_percent": float(f"{instrument.gain_accuracy * 100:.12g}"),
        "check_due_on": instrument.check_due_on,
    }


class ConcessionForm(TokenForm):
    """Why something outside its limits is accepted, and until when."""

    reason = forms.CharField(
        label="Why it can be accepted",
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text="What differs, what that does to the machine, and what was weighed.",
        error_messages={"required": "A concession says why what differs can be accepted."},
    )
    until = forms.DateField(
        label="Until",
        required=False,
        widget=DAY,
        help_text="A day on which it is looked at again; without one it holds.",
    )
