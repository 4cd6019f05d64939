"""What is filled in when a wire is joined, lifted or rung out."""

from typing import Any

from django import forms

from restoration.engineering.figures import OHMS_READ, VOLTS
from restoration.people.doers import DoerForm
from restoration.people.models import Person
from restoration.proving.forms.fields import FigureField
from restoration.proving.models.wire_checks import JoiningKind
from restoration.proving.remembered import second_person_of


class LinkRecordForm(DoerForm):
    """The heading of a record of a link; `replaces` is the record that it corrects, if it does."""

    second_is_needed = False

    def __init__(self, *args: Any, me: Person, replaces: Any = None, **kwargs: Any) -> None:
        super().__init__(*args, me=me, **kwargs)
        self.replaces = replaces
        if replaces is not None:
            self.fields["replaces_why"] = forms.CharField(
                label="What was wrong with the earlier record",
                widget=forms.Textarea(attrs={"rows": 2}),
                error_messages={"required": "A correction says why the earlier record was wrong."},
            )
        self._fill_in_people(me)

    def _fill_in_people(self, me: Person) -> None:
        second: Any = self.fields["second_person"]
        if self.second_is_needed:
            second.required, second.empty_label = True, "say who"
            second.error_messages["required"] = "Both joints are viewed by a second person; say who."
        if self.replaces is not None:
            self.fields["done_by"].initial = self.replaces.done_by_id
            self.fields["done_at"].initial = self.replaces.done_at
            second.initial = self.replaces.second_person_id
        elif not self.is_bound:
            second.initial = second_person_of(me)

    def heading(self) -> dict[str, Any]:
        """Give what the services take for the heading of the record."""
        given = self.cleaned_data
        return {
            "done_by": given["done_by"],
            "second_person": given.get("second_person"),
            "entered_by": self.me,
            "at": given["done_at"],
            "replaces": self.replaces,
            "replaces_why": given.get("replaces_why", ""),
        }


class JoinForm(LinkRecordForm):
    """Both ends joined, or a joint made again."""

    second_is_needed = True
    kind = forms.ChoiceField(
        label="What was done",
        choices=[(JoiningKind.JOINED, "joined at both ends"), (JoiningKind.REMADE, "made again")],
        widget=forms.RadioSelect,
    )
    remarks = forms.CharField(label="Remarks", required=False, widget=forms.Textarea(attrs={"rows": 2}))

    def __init__(self, *args: Any, joined: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["kind"].initial = JoiningKind.REMADE if joined else JoiningKind.JOINED
        self.fields["second_person"].label = "Both joints viewed by"


class LiftForm(LinkRecordForm):
    """An end opened on purpose."""

    remarks = forms.CharField(
        label="Why it was lifted",
        help_text="Tag the open end on the machine too.",
        widget=forms.Textarea(attrs={"rows": 2}),
        error_messages={"required": "A lifted wire carries a reason, so that the next person knows it was meant."},
    )
    field_order = ["remarks", "done_by", "second_person", "done_at"]


class RingOutForm(LinkRecordForm):
    """The meter's figures, and both labels read."""

    both_labels_read = forms.BooleanField(
        label="I read the labels at both ends, and they are those of this link",
        error_messages={
            "required": "A wire is rung out with the labels read at both ends; otherwise it may be another that rings."
        },
    )
    resistance_ohm = FigureField(
        OHMS_READ,
        label="End to end, Ω",
        required=True,
        help_text="Such as 0.4. Write OL if the meter shows no path.",
        error_messages={"required": "Give the resistance from end to end; it is what a ring-out measures."},
    )
    to_chassis_ohm = FigureField(
        OHMS_READ, label="To the chassis, Ω", help_text="Such as 22M or 1k5, or OL for no path."
    )
    test_v = FigureField(
        VOLTS, label="Test voltage, V", above_zero=True, help_text="Only if an insulation tester was used."
    )
    remarks = forms.CharField(label="Remarks", required=False, widget=forms.Textarea(attrs={"rows": 2}))
    field_order = ["both_labels_read", "resistance_ohm", "to_chassis_ohm", "done_by", "second_person", "done_at"]
