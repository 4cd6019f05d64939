"""Forms of the people who fit chassis into racks."""

from typing import Any

from django import forms

from restoration.machine.models import Chassis, Slot
from restoration.people.doers import DoerForm


class FitForm(DoerForm):
    """Both labels are read where they hang; the second person watches."""

    chassis = forms.ModelChoiceField(Chassis.objects.none(), label="Chassis", empty_label="which chassis?")
    slot_label_read = forms.CharField(
        label="Label on the slot, as you read it",
        max_length=60,
        widget=forms.TextInput(attrs={"autocapitalize": "off"}),
    )
    chassis_label_read = forms.CharField(
        label="Label on the chassis, as you read it",
        max_length=60,
        widget=forms.TextInput(attrs={"autocapitalize": "off"}),
    )
    remarks = forms.CharField(label="Remarks", required=False, widget=forms.Textarea(attrs={"rows": 2}))

    def __init__(self, *args: Any, slot: Slot, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        second: Any = self.fields["second_person"]
        second.required, second.empty_label = True, "say who"
        second.error_messages["required"] = "A fitting is seen by a second person; say who."
        unfitted = Chassis.objects.exclude(pk__in=Chassis.objects.fitted().values("pk"))
        of_design = unfitted.filter(design=slot.design) if slot.design_id else unfitted
        bound_to = str(self.data.get("chassis", "")) if self.is_bound else ""
        is_number = bound_to.isdecimal() and len(bound_to) < 18
        chosen = unfitted.filter(pk=bound_to) if is_number else Chassis.objects.none()
        self.fields["chassis"].queryset = (of_design | chosen).select_related("design")  # type: ignore[attr-defined]


class WithdrawForm(DoerForm):
    """A chassis comes out, and why; `seen` is the fitting that stood when the page was opened."""

    seen = forms.IntegerField(widget=forms.HiddenInput, required=False, min_value=1, max_value=2**63 - 1)

    why = forms.CharField(
        label="Why it comes out",
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": "A withdrawal needs a reason, in a few words."},
    )
