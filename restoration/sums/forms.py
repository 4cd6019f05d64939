"""The form of a sum, made from what it declares; what was typed is judged where the sum is worked."""

from typing import Any

from django import forms
from django.forms.utils import ErrorDict, ErrorList

from restoration.sums.declared import Choice, Input, Lines
from restoration.sums.working import Worked

TYPED = {"autocomplete": "off", "autocapitalize": "none", "spellcheck": "false"}


class SumForm(forms.Form):
    """The inputs of one sum with what was typed in them, right or wrong."""

    def __init__(self, worked: Worked) -> None:
        super().__init__(data=dict(worked.texts), auto_id="in-%s")
        self.worked = worked
        self.fields.update({each.name: field_for(each) for each in worked.sum.inputs})

    def full_clean(self) -> None:
        """Lay what is wrong beside its field."""
        self.cleaned_data: dict[str, Any] = {}
        self._errors = ErrorDict({name: ErrorList([said]) for name, said in self.worked.wrong.items()})


def field_for(each: Input) -> forms.Field:
    """The place to write one input."""
    told: dict[str, Any] = {"label": each.label, "help_text": each.help, "required": not each.optional}
    if isinstance(each, Choice):
        empty = [("", "not said")] if each.optional else []
        return forms.ChoiceField(choices=[*empty, *each.options], **told)
    widget = forms.Textarea(attrs={"rows": 4, **TYPED}) if isinstance(each, Lines) else forms.TextInput(attrs=TYPED)
    return forms.CharField(widget=widget, **told)
