"""What is filled in when a gate is signed for."""

from typing import Any

from django import forms

from restoration.commissioning.gates import Gate
from restoration.commissioning.services.signing import PAPER_WANTED, second_needed
from restoration.machine.records import Result
from restoration.proving.forms.wire_checks import LinkRecordForm

KEPT = ("result", "seen", "paper", "remarks")


class GateForm(LinkRecordForm):
    """What was seen, the result, and the number of the paper that stands behind it."""

    result = forms.ChoiceField(
        label="Result",
        choices=[
            (Result.PASSED, "passed"),
            (Result.FAILED, "failed"),
            (Result.CANNOT_TELL, "cannot tell: begun, and not finished"),
        ],
        widget=forms.RadioSelect,
        error_messages={"required": "Say what came of it: passed, failed, or cannot tell."},
    )
    seen = forms.CharField(
        label="What was seen and measured",
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": "Say what was seen or measured; a gate is not signed for without it."},
    )
    paper = forms.CharField(label="Number of the paper behind it", required=False, max_length=120)
    remarks = forms.CharField(
        label="Remarks", required=False, max_length=4000, widget=forms.Textarea(attrs={"rows": 2})
    )
    field_order = ["result", "seen", "paper", "done_by", "second_person", "done_at", "remarks"]

    def __init__(self, *args: Any, gate: Gate, **kwargs: Any) -> None:
        self.second_is_needed = gate.is_witnessed
        super().__init__(*args, **kwargs)
        if gate.is_witnessed:
            self.fields["second_person"].error_messages["required"] = second_needed(gate)
        if gate.code in PAPER_WANTED:
            self.fields["paper"].label = "Number of the electrician's paper"
        else:
            self.fields["paper"].help_text = "A permit or a test sheet, if there is one."
        if self.replaces is not None:
            for name in KEPT:
                self.fields[name].initial = getattr(self.replaces, name)

    def facts(self) -> dict[str, Any]:
        """Give what the service takes of it."""
        return {name: self.cleaned_data[name] for name in KEPT}
