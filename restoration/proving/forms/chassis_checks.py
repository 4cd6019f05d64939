"""What is filled in when a chassis is received, checked cold and tested on the bench."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.forms import BoundField

from restoration.engineering.figures import OHMS_READ, VOLTS
from restoration.machine.figures import UNITS
from restoration.machine.models import BenchPoint
from restoration.machine.records import Place, Result
from restoration.proving.forms.fields import FigureField
from restoration.proving.forms.wire_checks import LinkRecordForm
from restoration.proving.models import BenchTest, Instrument
from restoration.proving.quantities import limit_reads, reads, words
from restoration.proving.services import BenchFigure
from restoration.proving.wording import load_in_words, ohms

FEW_WORDS = forms.Textarea(attrs={"rows": 2})
CONDITIONS = ("ht_v", "ht_ma", "heater_v", "heater_a", "bias_v", "temperature_c", "warm_up_min")


class ChassisRecordForm(LinkRecordForm):
    """The heading of a record of a chassis; a correction begins with what the earlier record said."""

    second_sentence = ""
    kept: tuple[str, ...] = ("remarks",)
    remarks = forms.CharField(label="Remarks", required=False, max_length=4000, widget=FEW_WORDS)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.second_is_needed:
            self.fields["second_person"].error_messages["required"] = self.second_sentence
        if self.replaces is not None:
            for name in self.kept:
                self.fields[name].initial = getattr(self.replaces, name)


class ReceiveForm(ChassisRecordForm):
    """What came in at the door."""

    kept = ("papers_complete", "damage", "remarks")
    label_read = forms.CharField(
        label="Serial on its label",
        max_length=60,
        help_text="Read it from the chassis itself, by eye or with a reader; do not copy it from this page.",
        error_messages={"required": "Read the serial from the label on the chassis; without it nothing is received."},
    )
    papers_complete = forms.BooleanField(label="Its papers came with it and are complete", required=False)
    damage = forms.CharField(
        label="Damage on the way",
        required=False,
        max_length=4000,
        widget=FEW_WORDS,
        help_text="Nothing: leave it empty.",
    )
    result = forms.ChoiceField(
        label="What follows",
        required=False,
        choices=[
            ("", "as the papers and the damage say"),
            (Result.PASSED, "it is taken in, damage and all"),
            (Result.FAILED, "it is not taken in"),
        ],
    )
    field_order = ["label_read", "papers_complete", "damage", "result"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["label_read"].widget.attrs.update(
            {"autocomplete": "off", "autocapitalize": "off", "spellcheck": "false", "autofocus": True}
        )
        self.fields["second_person"].initial = None

    def facts(self) -> dict[str, Any]:
        """Give what the service takes of it."""
        names = ("label_read", "papers_complete", "damage", "remarks")
        return {name: self.cleaned_data[name] for name in names} | {"result": self.cleaned_data["result"] or None}


class YesOrNo(forms.TypedChoiceField):
    """A question that must be answered; nobody passes a chassis by leaving a box alone."""

    def __init__(self, **kwargs: Any) -> None:
        choices = [("yes", "yes"), ("no", "no")]
        super().__init__(choices=choices, coerce=lambda given: given == "yes", widget=forms.RadioSelect, **kwargs)


class ColdCheckForm(ChassisRecordForm):
    """A chassis looked over with no power on it."""

    second_is_needed = True
    second_sentence = "A cold check is seen by a second person; say who."
    kept = ("hazards", "remarks", "place")
    agrees_with_drawing = YesOrNo(
        label="Does it agree with its drawing?",
        error_messages={"required": "Say whether it agrees with its drawing: yes or no."},
    )
    joints_good = YesOrNo(
        label="Are all joints good?", error_messages={"required": "Say whether all joints are good: yes or no."}
    )
    ht_to_chassis_ohm = FigureField(
        OHMS_READ, label="HT to chassis, Ω", help_text="Such as 2M2 or 470k; OL for no path."
    )
    heater_to_chassis_ohm = FigureField(
        OHMS_READ, label="Heaters to chassis, Ω", help_text="Such as 10M; OL for no path."
    )
    fault_seen = forms.CharField(
        label="Fault seen",
        required=False,
        max_length=2000,
        widget=FEW_WORDS,
        help_text="A fault written here fails the check. None: leave it empty.",
    )
    hazards = forms.CharField(
        label="Materials or edges that may harm",
        required=False,
        max_length=2000,
        widget=FEW_WORDS,
        help_text="What you suspect is enough: write it down, leave it alone, and ask.",
    )
    place = forms.ChoiceField(label="Where", choices=[(Place.BENCH, "on site"), (Place.HOME, "at the builder's home")])

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["second_person"].label = "Seen by"
        if self.replaces is not None:
            for name in ("agrees_with_drawing", "joints_good"):
                self.fields[name].initial = "yes" if getattr(self.replaces, name) else "no"
            for name in ("ht_to_chassis_ohm", "heater_to_chassis_ohm"):
                self.fields[name].initial = _ohms_typed(getattr(self.replaces, name))

    def facts(self) -> dict[str, Any]:
        """Give what the service takes of it."""
        names = ("agrees_with_drawing", "joints_good", "ht_to_chassis_ohm", "heater_to_chassis_ohm")
        return {name: self.cleaned_data[name] for name in (*names, "fault_seen", "hazards", "place", "remarks")}


def _ohms_typed(value: float | None) -> str:
    text = "" if value is None else ohms(value)
    return "OL" if text == "open" else text


class BenchTestForm(ChassisRecordForm):
    """The test sheet of a chassis: its design says which figures, and with which load."""

    second_is_needed = True
    second_sentence = "A bench test puts HT on, so it is made by two; say who the second person was."
    kept = ("remarks", "ht_ma", "heater_a", "warm_up_min", "temperature_c")
    instrument = forms.ModelChoiceField(Instrument.objects.all(), required=False, empty_label="not named")
    ht_v = FigureField(VOLTS, label="HT, V")
    ht_ma = forms.FloatField(label="HT current, mA", required=False, min_value=0, max_value=1e5)
    heater_v = FigureField(VOLTS, label="Heaters, V")
    heater_a = forms.FloatField(label="Heater current, A", required=False, min_value=0, max_value=1e3)
    bias_v = FigureField(VOLTS, label="Bias, V")
    temperature_c = forms.FloatField(label="Room, °C", required=False, min_value=-30, max_value=60)
    warm_up_min = forms.FloatField(label="Warm-up, minutes", required=False, min_value=0, max_value=10000)

    def __init__(self, *args: Any, points: Sequence[BenchPoint], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.points = list(points)
        earlier = _earlier_figures(self.replaces)
        for point in self.points:
            unit = UNITS[point.quantity]
            self.fields[_name(point)] = FigureField(
                unit,
                label=f"{point.place}, {words(point.quantity)}, {unit.usual}",
                help_text=_expected(point),
                initial=earlier.get((point.place, point.quantity), ""),
            )
        for name in ("ht_ma", "heater_a", "temperature_c", "warm_up_min"):
            self.fields[name].widget.attrs["step"] = "any"
        self._fill_in_conditions()

    def _fill_in_conditions(self) -> None:
        if self.replaces is None:
            return
        self.fields["instrument"].initial = self.replaces.instrument_id
        for name in ("ht_v", "heater_v", "bias_v"):
            value = getattr(self.replaces, name)
            self.fields[name].initial = "" if value is None else f"{value:g}"

    @property
    def figures(self) -> list[BoundField]:
        """The lines of the sheet, in the order of the design."""
        return [self[_name(point)] for point in self.points]

    def facts(self) -> dict[str, Any]:
        """Give what the service takes of it."""
        given = self.cleaned_data
        figures = [BenchFigure(point.place, point.quantity, given[_name(point)]) for point in self.points]
        conditions = {name: given[name] for name in CONDITIONS}
        return {"readings": figures, "instrument": given["instrument"], "remarks": given["remarks"], **conditions}


def _expected(point: BenchPoint) -> str:
    """Say what a figure should be, and with which load it is read."""
    load = load_in_words(point.load_resistance_ohm, point.load_capacitance_f)
    return f"Limit: {limit_reads(point)}. Read with: {load}."


def _name(point: BenchPoint) -> str:
    return f"figure_{point.pk}"


def _earlier_figures(test: BenchTest | None) -> dict[tuple[str, str], str]:
    """What an earlier test read, as it is typed."""
    if test is None:
        return {}
    return {
        (row.place, row.quantity): reads(row.quantity, row.value, digits=6)
        for row in test.readings.all()
        if row.value is not None
    }
