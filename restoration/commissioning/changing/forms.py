"""The short forms of changes: only the fields that each kind needs, and for all of them why, who, when and a photo."""

from typing import Any

from django import forms
from django.utils import timezone
from django.utils.html import escape

from restoration.commissioning.changing.asked import AskedForm, ByCodes, DayField, PaintedField
from restoration.commissioning.changing.refusals import PART_WANTED, SINCE_WANTED
from restoration.commissioning.changing.touched import TouchedFields
from restoration.commissioning.models import Change
from restoration.engineering.doubt import Kind
from restoration.machine.models import Chassis
from restoration.people.doers import DoerForm
from restoration.people.models import Person
from restoration.proving.remembered import second_person_of
from restoration.workshop.forms import PhotoField

FEW_WORDS = forms.Textarea(attrs={"rows": 2})
NO_AUTO = {"autocapitalize": "off", "autocomplete": "off"}


class ChangeForm(DoerForm):
    """Why, who, when, and a photograph; `asked` says what it is about, `replaces` which change it corrects."""

    kind_fields: tuple[str, ...] = ()
    second_wanted = ""

    why = forms.CharField(
        label="Why",
        max_length=2000,
        widget=FEW_WORDS,
        error_messages={"required": "A change says why it was made, in a few words."},
    )
    photo = PhotoField(label="Photograph", help_text="One that shows what was done.")

    def __init__(self, *args: Any, me: Person, asked: AskedForm, replaces: Change | None = None, **kw: Any) -> None:
        super().__init__(*args, me=me, **kw)
        self.asked, self.replaces = asked, replaces
        self._fit_fields()
        if replaces is not None:
            self._correct(replaces)
        self._ask_second(me)

    def _fit_fields(self) -> None:
        """Leave out what this subject does not have, and fill in what its address says."""

    def _correct(self, replaces: Change) -> None:
        self.fields["replaces_why"] = forms.CharField(
            label="What was wrong with the earlier record",
            max_length=2000,
            widget=forms.Textarea(attrs={"rows": 2}),
            error_messages={"required": "A correction says why the earlier record was wrong."},
        )
        same = replaces.kind == self.asked.short.kind.value
        for name in ("why", "done_by", "second_person", "done_at", *(self.kind_fields if same else ())):
            value = getattr(replaces, f"{name}_id", None) or getattr(replaces, name, None)
            if value and name in self.fields:
                self.fields[name].initial = value

    def _ask_second(self, me: Person) -> None:
        second: Any = self.fields["second_person"]
        if self.second_wanted:
            second.required, second.empty_label = True, "say who"
            second.error_messages["required"] = self.second_wanted
            if not self.is_bound and self.replaces is None:
                second.initial = second_person_of(me)

    def about(self) -> TouchedFields:
        """What was done to what, for the service."""
        fields = self.asked.touched.fields()
        for name in ("part", "was", "now", "since", "stage"):
            if name in self.cleaned_data:
                fields[name] = self.cleaned_data[name]
        fields["racks"] = tuple(self.cleaned_data.get("racks", self.asked.touched.racks))
        return fields

    def heading(self) -> dict[str, Any]:
        """Why, who and when, for the service."""
        given = self.cleaned_data
        return {
            "why": given["why"],
            "done_by": given["done_by"],
            "second_person": given.get("second_person"),
            "entered_by": self.me,
            "at": given["done_at"],
            "photo": given.get("photo"),
        }

    def correction(self) -> dict[str, Any]:
        """What it takes the place of, for the service."""
        return {"replaces": self.replaces, "replaces_why": self.cleaned_data.get("replaces_why", "")}

    @property
    def first_fields(self) -> list[Any]:
        """The fields of this kind alone, in order."""
        return [self[name] for name in self.kind_fields if name in self.fields]


def _part(kind: Kind, label: str, **kwargs: Any) -> forms.CharField:
    return forms.CharField(label=label, max_length=120, error_messages={"required": PART_WANTED[kind]}, **kwargs)


class LikeValveForm(ChangeForm):
    """One valve for another of its type."""

    kind_fields: tuple[str, ...] = ("part", "stage")
    part = _part(Kind.LIKE_VALVE, "Valve", help_text="Its place, such as V3.")
    stage = forms.ModelChoiceField(
        Chassis.objects.none(), label="Stage", required=False, empty_label="not known, take the whole chassis"
    )

    def _fit_fields(self) -> None:
        offered: Any = self.asked.fields.get("stage")
        if offered is None:
            del self.fields["stage"]
            return
        self.fields["stage"].queryset = offered.queryset  # type: ignore[attr-defined]
        self.fields["stage"].initial = self.asked.cleaned_data.get("stage")


class LikePartForm(LikeValveForm):
    """One part for another of its value."""

    part = _part(Kind.LIKE_PART, "Part", help_text="Its place, such as R12.")


class OtherPartForm(LikeValveForm):
    """Another value or type."""

    kind_fields = ("part", "stage", "was", "now")
    part = _part(Kind.OTHER_PART, "Valve or part", help_text="Its place, such as R12.")
    was = forms.CharField(label="It was", max_length=120, required=False, help_text="Such as 4.7 kΩ.")
    now = forms.CharField(
        label="It is now",
        max_length=120,
        help_text="Such as 3.9 kΩ.",
        error_messages={"required": "Say what it is now: its value or type."},
    )


class SwapForm(ChangeForm):
    """Which chassis goes in, and both labels as they hang there."""

    kind_fields = ("chassis", "slot_label_read", "chassis_label_read")
    second_wanted = "A fitting is seen by a second person; say who."
    chassis = PaintedField(
        Chassis,
        "serial",
        "chassis",
        label="Chassis that goes in, by its serial",
        error_messages={"required": "Say which chassis goes in."},
    )
    slot_label_read = forms.CharField(
        label="Label on the slot, as you read it", max_length=60, widget=forms.TextInput(attrs=NO_AUTO)
    )
    chassis_label_read = forms.CharField(
        label="Label on the chassis that goes in, as you read it",
        max_length=60,
        widget=forms.TextInput(attrs=NO_AUTO),
    )
    seen = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def _fit_fields(self) -> None:
        goes_in = self.asked.cleaned_data.get("chassis")
        self.fields["chassis"].initial = goes_in.serial if goes_in else ""
        self.fields["slot_label_read"].error_messages["required"] = "Read the label on the slot, and write it down."
        wanted = "Read the label on the chassis that goes in, and write it down."
        self.fields["chassis_label_read"].error_messages["required"] = wanted

    def swap(self) -> dict[str, Any]:
        """What goes where, for the service."""
        given = self.cleaned_data
        names = ("chassis", "slot_label_read", "chassis_label_read", "seen")
        return {"slot": self.asked.touched.slot, **{name: given[name] for name in names}}


class RemadeForm(ChangeForm):
    """Joints made again; perhaps by another way."""

    kind_fields = ("now",)
    second_wanted = "Both joints are viewed by a second person; say who."
    now = forms.CharField(
        label="The way it runs now",
        max_length=120,
        required=False,
        help_text="Only if it runs another way than before.",
    )

    def _fit_fields(self) -> None:
        self.fields["second_person"].label = "Both joints viewed by"


class LoadForm(ChangeForm):
    """What hangs on the source now, or no longer."""

    kind_fields = ("now", "part")
    now = forms.ChoiceField(
        label="What was done",
        choices=[("added", "a load was added"), ("lifted", "a load was lifted")],
        widget=forms.RadioSelect,
        error_messages={"required": "Say whether the load was added or lifted."},
    )
    part = _part(Kind.LOAD, "The load", help_text="Such as: a dummy load of 10 kΩ.")


class ConditionedForm(ChangeForm):
    """A part that shapes the signal, its value before and now."""

    kind_fields = ("part", "was", "now")
    part = forms.ChoiceField(
        label="Part",
        choices=[(word, word) for word in ("attenuator", "terminator", "damping resistor")],
        error_messages={"required": PART_WANTED[Kind.CONDITIONED]},
    )
    was = forms.CharField(label="It was", max_length=120, required=False, help_text="Empty if there was none before.")
    now = forms.CharField(label="It is now", max_length=120, required=False, help_text="Empty if it was taken off.")


class RailForm(ChangeForm):
    """What of a rail was changed."""

    kind_fields = ("part", "was", "now")
    part = forms.ChoiceField(
        label="What of it",
        choices=[("setting", "its setting"), ("supply part", "a part of its supply"), ("decoupling", "its decoupling")],
        error_messages={"required": PART_WANTED[Kind.RAIL]},
    )
    was = forms.CharField(label="It was", max_length=120, required=False, help_text="Such as 300 V.")
    now = forms.CharField(label="It is now", max_length=120, required=False, help_text="Such as 310 V.")


class EarthForm(ChangeForm):
    """What was done to an earth or screen."""

    kind_fields = ("part",)
    part = _part(Kind.EARTH, "What was done to it")


class DrawingForm(ChangeForm):
    """The issue; one that is on the list already is meant by its letter, another is issued with this form."""

    kind_fields = ("letter", "issued_on")
    letter = forms.CharField(
        label="Issue",
        max_length=10,
        help_text="The letter of one that is on the list already, or of a new one.",
        error_messages={"required": "Say which issue of the drawing, by its letter."},
    )
    issued_on = forms.DateField(
        label="Issued on",
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        help_text="Of a new issue; empty for today.",
        error_messages={"invalid": "Give a day as year-month-day, such as 2026-05-03."},
    )

    def _fit_fields(self) -> None:
        current = self.asked.design.current_issue if self.asked.design else None
        given = self.asked.cleaned_data.get("letter")
        self.fields["letter"].initial = given or ""
        if current is not None:
            self.fields["letter"].help_text += escape(f" The current one is {current.letter}.")

    def drawing(self) -> dict[str, Any]:
        """Which issue of which drawing, for the service."""
        given = self.cleaned_data
        day = given["issued_on"] or timezone.localdate(given["done_at"])
        return {"design": self.asked.design, "letter": given["letter"], "issued_on": day}


class InstrumentForm(ChangeForm):
    """Since when its figures cannot be relied on."""

    kind_fields: tuple[str, ...] = ("since",)
    since = DayField(label="Last known to be good on", error_messages={"required": SINCE_WANTED[Kind.INSTRUMENT]})

    def _fit_fields(self) -> None:
        self.fields["since"].initial = self.asked.cleaned_data.get("since")


class RestForm(InstrumentForm):
    """Since when, and which racks."""

    kind_fields = ("since", "racks")
    since = DayField(label="At rest since", error_messages={"required": SINCE_WANTED[Kind.REST]})
    racks = ByCodes(label="Racks that rested (none ticked: all)", required=False)

    def _fit_fields(self) -> None:
        super()._fit_fields()
        self.fields["racks"].initial = [rack.code for rack in self.asked.touched.racks]


class KnockForm(ChangeForm):
    """What befell it."""

    kind_fields = ("now",)
    now = forms.ChoiceField(
        label="What befell it",
        choices=[(word, word) for word in ("knocked", "moved", "damp")],
        widget=forms.RadioSelect,
        error_messages={"required": "Say whether it was knocked, moved or damp."},
    )


FORMS: dict[Kind, type[ChangeForm]] = {
    Kind.SWAPPED: SwapForm,
    Kind.LIKE_VALVE: LikeValveForm,
    Kind.LIKE_PART: LikePartForm,
    Kind.OTHER_PART: OtherPartForm,
    Kind.REMADE: RemadeForm,
    Kind.LOAD: LoadForm,
    Kind.CONDITIONED: ConditionedForm,
    Kind.RAIL: RailForm,
    Kind.EARTH: EarthForm,
    Kind.DRAWING_AS_BUILT: DrawingForm,
    Kind.DRAWING_FUNCTION: DrawingForm,
    Kind.INSTRUMENT: InstrumentForm,
    Kind.REST: RestForm,
    Kind.KNOCK: KnockForm,
}


class TakeBackForm(DoerForm):
    """Why a change that was recorded did not happen."""

    why = forms.CharField(
        label="How it came to be entered",
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 2}),
        error_messages={"required": "Taking a change back needs a reason, in a few words."},
    )
