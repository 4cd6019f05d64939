"""Forms for groups: codes are written one a line, as they are painted."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from restoration.commissioning.models import Group
from restoration.commissioning.services import GroupGiven
from restoration.common.posts import TokenForm
from restoration.common.versions import VersionField
from restoration.machine.forms.fields import CodeField
from restoration.machine.models import Interconnect, Slot

MOST_NAMED = 5
MOST_CODES = 5000


class CodesField(forms.CharField):
    """Codes of things that are on the list, one a line; gives the things themselves."""

    def __init__(self, model: Any, noun: str, **kwargs: Any) -> None:
        rows = forms.Textarea(attrs={"rows": 6, "autocapitalize": "off", "spellcheck": "false"})
        super().__init__(**{"required": False, "widget": rows, "max_length": 400_000, **kwargs})
        self.model, self.noun = model, noun

    def clean(self, value: Any) -> list[Any]:
        """Find every code; refuse those that are not there, by name."""
        lines = str(super().clean(value) or "").splitlines()
        codes = list(dict.fromkeys(line.strip() for line in lines if line.strip()))
        if len(codes) > MOST_CODES:
            raise ValidationError(f"{len(codes)} codes were given; at most {MOST_CODES} are taken at once.")
        found = {row.code: row for row in self.model.objects.filter(code__in=codes)}
        strange = [code for code in codes if code not in found]
        if strange:
            raise ValidationError(self._not_there(strange))
        return [found[code] for code in codes]

    def _not_there(self, strange: list[str]) -> str:
        named = ", ".join(f"“{code}”" for code in strange[:MOST_NAMED])
        more = f" and {len(strange) - MOST_NAMED} more" if len(strange) > MOST_NAMED else ""
        return f"There is no {self.noun} {named}{more}. Write one code a line, as it is painted."


class GroupEditForm(TokenForm):
    """What a group is for, what belongs to it, and how it is known to work."""

    version = VersionField()
    name = forms.CharField(
        label="What it is called", max_length=120, error_messages={"required": "Say what the group is called."}
    )
    purpose = forms.CharField(label="What it does", required=False, widget=forms.Textarea(attrs={"rows": 2}))
    pass_test = forms.CharField(
        label="Pass test",
        required=False,
        widget=forms.Textarea(attrs={"rows": 5}),
        help_text="Written before the test: what is done, and what must be seen for it to pass.",
    )
    slots = CodesField(Slot, "slot", label="Member slots", help_text="One code a line. Links between members follow.")
    further_links = CodesField(
        Interconnect, "link", label="Further links", help_text="One code a line: links that lead out and belong to it."
    )
    position = forms.IntegerField(
        label="Place in the list",
        min_value=0,
        max_value=100000,
        help_text="Usually the order in which groups are proved.",
    )

    def given(self) -> GroupGiven:
        """Give what the service takes."""
        data = self.cleaned_data
        return GroupGiven(
            name=data["name"],
            purpose=data["purpose"],
            pass_test=data["pass_test"],
            position=data["position"],
            slots=data["slots"],
            further_links=data["further_links"],
        )


class GroupForm(GroupEditForm):
    """A group that is not on the list yet."""

    version = None  # type: ignore[assignment]
    code = CodeField(label="Code", help_text="Short, used once.", error_messages={"required": "Give it a short code."})
    field_order = ["code", "name", "purpose", "pass_test", "slots", "further_links", "position"]


def held(group: Group) -> dict[str, Any]:
    """What a group holds now, by the names of the fields of its form."""
    return {
        "name": group.name,
        "purpose": group.purpose,
        "pass_test": group.pass_test,
        "slots": "\n".join(group.slots.order_by("code").values_list("code", flat=True)),
        "further_links": "\n".join(group.further_links.order_by("code").values_list("code", flat=True)),
        "position": group.position,
        "version": group.version,
    }
