"""Forms for physical units."""

from typing import Any

from django import forms

from restoration.common.posts import TokenForm
from restoration.common.versions import VersionField
from restoration.machine.forms.fields import CodeField
from restoration.machine.models import Chassis, Design, DesignIssue
from restoration.people.models import Person


class ChassisForm(TokenForm):
    """A chassis that is not on the list yet."""

    serial = CodeField(label="Serial", help_text="As it is stamped on the chassis.")
    design = forms.ModelChoiceField(Design.objects.all(), label="Design")
    builder = forms.ModelChoiceField(
        Person.objects.none(), label="Builder", required=False, empty_label="nobody yet", help_text=""
    )
    remarks = forms.CharField(label="Remarks", required=False, widget=forms.Textarea, max_length=20000)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["builder"].queryset = Person.objects.present()  # type: ignore[attr-defined]


class ChassisEditForm(TokenForm):
    """Remarks on a chassis, and the issue it was built to."""

    version = VersionField()
    issue = forms.ModelChoiceField(
        DesignIssue.objects.none(), label="Built to issue", required=False, empty_label="not known"
    )
    remarks = forms.CharField(
        label="Remarks", required=False, widget=forms.Textarea(attrs={"rows": 8}), max_length=20000
    )

    def __init__(self, *args: Any, chassis: Chassis, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["issue"].queryset = chassis.design.issues.all()  # type: ignore[attr-defined]
        self.fields["issue"].label_from_instance = lambda issue: issue.letter  # type: ignore[attr-defined]


def chassis_as_stored(chassis: Chassis) -> dict[str, Any]:
    """What stands in the form when it is opened."""
    return {"version": chassis.version, "issue": chassis.issue_id, "remarks": chassis.remarks}
