"""Who did it, who saw it, and when: the fields that every recorded act shares.

Whoever sends the form is the one who entered it; the doer may be another, also one who never signs in.
"""

from datetime import datetime
from typing import Any

from django import forms
from django.utils import timezone

from restoration.common.moments import refuse_future
from restoration.common.posts import TokenForm
from restoration.people.models import Person

EARLIEST = 1900


class MomentField(forms.DateTimeField):
    """A moment by the clock of the site; left empty it is now, to the second. A moment to come is refused.

    It starts empty on purpose: the minute at which a page was opened is not the moment of the act, and two
    acts in one minute would lose their order.
    """

    widget = forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**{"required": False, "help_text": "Leave it empty for now.", **kwargs})

    def clean(self, value: Any) -> datetime:
        """Read the moment; an empty field means now."""
        moment = super().clean(value) or timezone.now()
        if moment.year < EARLIEST:
            raise forms.ValidationError(f"The year {moment.year} is too early; give the day on which it was done.")
        refuse_future(moment)
        return moment


class DoerForm(TokenForm):
    """A form about an act: who did it, the second person, and when. Give it the person signed in as `me`."""

    done_by = forms.ModelChoiceField(Person.objects.none(), label="Done by", empty_label=None)
    second_person = forms.ModelChoiceField(
        Person.objects.none(), label="Second person", required=False, empty_label="nobody else"
    )
    done_at = MomentField(label="When")

    def __init__(self, *args: Any, me: Person, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.me = me
        for name in ("done_by", "second_person"):
            self.fields[name].queryset = Person.objects.present()  # type: ignore[attr-defined]
        self.fields["done_by"].initial = me.pk

    def clean(self) -> dict[str, Any]:
        """Two people, where two are named."""
        given = super().clean() or self.cleaned_data
        doer, second = given.get("done_by"), given.get("second_person")
        if doer and doer == second:
            self.add_error("second_person", f"The second person must be another than the doer, and both are {doer}.")
        return given
