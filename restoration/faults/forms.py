"""Forms of the fault log."""

from typing import Any

from django import forms

from restoration.common.posts import TokenForm
from restoration.common.versions import VersionField
from restoration.faults.models import Fault, Outcome
from restoration.faults.services import proofs_for
from restoration.people.doers import DoerForm, MomentField
from restoration.proving.models import SignalCheck


def words(label: str, rows: int = 3, **kwargs: Any) -> forms.CharField:
    """A field for a few sentences."""
    return forms.CharField(label=label, widget=forms.Textarea(attrs={"rows": rows}), **kwargs)


class SeenForm(forms.Form):
    """What was seen, and when it shows."""

    symptom = words("What was seen", error_messages={"required": "Say what was seen, in a few words."})
    how_often = forms.CharField(label="How often", max_length=200, required=False, help_text="“about once a minute”")
    conditions = forms.CharField(
        label="When does it show", max_length=200, required=False, help_text="“more when rack E is running”"
    )


class OpenForm(SeenForm, DoerForm):
    """A new fault."""

    field_order = ["symptom", "how_often", "conditions", "done_by", "done_at"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["done_by"].label = "Seen by"
        del self.fields["second_person"]


class RewordForm(SeenForm, TokenForm):
    """The same fault in better words."""

    version = VersionField()


class AttemptForm(DoerForm):
    """One thing tried."""

    tried = words("What was tried", error_messages={"required": "Say what was tried."})
    read = words("What was read or seen then", required=False)
    minutes = forms.IntegerField(label="Time it took, in minutes", min_value=0, max_value=6000, initial=0)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        del self.fields["second_person"]


class CloseForm(TokenForm):
    """How it ended."""

    version = VersionField()
    outcome = forms.ChoiceField(label="Outcome", choices=Outcome.choices, widget=forms.RadioSelect)
    cause = words("Cause", 2, required=False)
    cure = words("Cure", 2, required=False)
    proof = forms.ModelChoiceField(
        SignalCheck.objects.none(),
        label="Proof: a check of this link that passed since",
        required=False,
        empty_label="no check yet",
    )
    done_at = MomentField(label="When")

    def __init__(self, *args: Any, fault: Fault, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        passed = proofs_for(fault)
        self.fields["proof"].queryset = SignalCheck.objects.filter(  # type: ignore[attr-defined]
            pk__in=[check.pk for check in passed]
        ).order_by("-done_at")
        if passed:
            self.initial.setdefault("proof", passed[0].pk)


class ReopenForm(DoerForm):
    """It came back."""

    what_was_seen = words("What was seen this time", error_messages={"required": "Say what was seen this time."})

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["done_by"].label = "Seen by"
        del self.fields["second_person"]
