"""The question as it comes from an address or a command line, turned into the things it names."""

from typing import Any

from django import forms

from restoration.commissioning.models import Change
from restoration.commissioning.testing_again.asking import Question
from restoration.common.text import can_be_stored
from restoration.machine.models import Interconnect, Rack, Slot


class QuestionForm(forms.Form):
    """Which doubts to test again; every field may stay empty."""

    since = forms.DateField(
        label="Put in doubt since",
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": "Give a day as year-month-day, such as 2026-05-03."},
    )
    change = forms.IntegerField(
        label="By change number",
        required=False,
        min_value=1,
        error_messages={"invalid": "A change has a number, such as 7.", "min_value": "Changes are numbered from 1."},
    )
    rack = forms.CharField(label="At rack", required=False, max_length=60, strip=False)
    slot = forms.CharField(label="At slot", required=False, max_length=60, strip=False)
    link = forms.CharField(label="Of link", required=False, max_length=320, strip=False)

    def clean_change(self) -> Change | None:
        """A change by its number; one that a correction replaced doubts nothing any more."""
        number = self.cleaned_data["change"]
        if number is None:
            return None
        change = Change.objects.filter(pk=number).first()
        if change is None:
            raise forms.ValidationError(f"There is no change {number}.")
        later = Change.objects.filter(replaces=change).first()
        if later is not None:
            raise forms.ValidationError(f"Change {number} was corrected by change {later.pk}; ask for that one.")
        return change

    def clean_rack(self) -> Rack | None:
        """A rack by its code."""
        return self._named(Rack, "rack")

    def clean_slot(self) -> Slot | None:
        """A slot by its code."""
        return self._named(Slot, "slot")

    def clean_link(self) -> Interconnect | None:
        """A link by its code."""
        return self._named(Interconnect, "link")

    def _named(self, model: Any, noun: str) -> Any:
        code = self.cleaned_data[noun]
        if not code:
            return None
        found = model.objects.filter(code=code).first() if can_be_stored(code) else None
        if found is None:
            raise forms.ValidationError(f"There is no {noun} “{code}”; give the code as it is painted.")
        return found

    @property
    def question(self) -> Question:
        """The question asked, once the form is valid."""
        given = self.cleaned_data
        return Question(**{name: given.get(name) for name in ("since", "change", "slot", "link", "rack")})
