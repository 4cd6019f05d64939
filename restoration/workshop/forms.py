"""What builders and the site fill in about a chassis on its way."""

from typing import Any

from django import forms
from django.db.models import QuerySet

from restoration.common.images import CleanPhoto, clean_photo
from restoration.common.posts import TokenForm
from restoration.people.doers import DoerForm
from restoration.people.models import Person
from restoration.people.roles import Permission, roles_that_may
from restoration.workshop.models import StepKind

SHORT_TEXT = forms.Textarea(attrs={"rows": 3})
WORDS = {
    StepKind.NOTE: ("What should the site know?", True),
    StepKind.STUCK: ("What are you stuck with, and what would help?", True),
    StepKind.SENT_BACK: ("What is to be done again, and why?", True),
    StepKind.BUILT: ("Anything that differs from the drawing", False),
}


class StepForm(DoerForm):
    """One step of a chassis: who, when and a few words; who sends it did it, unless told otherwise."""

    text = forms.CharField(label="A few words", required=False, max_length=4000, widget=SHORT_TEXT)
    field_order = ["text", "done_by", "done_at"]

    def __init__(self, *args: Any, kind: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        del self.fields["second_person"]
        self.fields["done_by"].required = False
        label, required = WORDS.get(StepKind(kind), ("A few words", False))
        self.fields["text"].label, self.fields["text"].required = label, required

    def clean_done_by(self) -> Person:
        """A step sent by one button alone was done by the one who sent it."""
        return self.cleaned_data["done_by"] or self.me


class HandOverForm(StepForm):
    """What goes to the site with a chassis."""

    readings = forms.CharField(
        label="Readings taken", required=False, max_length=2000, widget=SHORT_TEXT, help_text="With no power on it."
    )
    snags = forms.CharField(
        label="Snags", required=False, max_length=2000, widget=SHORT_TEXT, help_text="What is not as it should be."
    )
    spare_parts = forms.CharField(label="Spare parts that go with it", required=False, max_length=2000)
    field_order = ["readings", "snags", "spare_parts", "done_by", "done_at"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, kind=StepKind.HANDED_OVER, **kwargs)
        del self.fields["text"]


def builders() -> "QuerySet[Person]":
    """List those a chassis can be given to, first those whose own work is building."""
    roles = [role.value for role in roles_that_may(Permission.BUILD_CHASSIS)]
    found: QuerySet[Person] = Person.objects.present().filter(holdings__role__in=roles, holdings__ended_at=None)
    return found.distinct()


class AllotForm(TokenForm):
    """Whom a chassis is given to."""

    builder = forms.ModelChoiceField(Person.objects.none(), label="Builder", empty_label="choose a builder")
    text = forms.CharField(
        label="What the builder should know",
        required=False,
        max_length=2000,
        widget=SHORT_TEXT,
        help_text="What was agreed: parts to come, a date, who helps.",
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["builder"].queryset = builders()  # type: ignore[attr-defined]


class PhotoField(forms.FileField):
    """A photograph; cleaned to pixels alone, before any transaction begins."""

    def __init__(self, *, camera: bool = False, **kwargs: Any) -> None:
        super().__init__(**{"required": False, **kwargs})
        self.widget.attrs["accept"] = "image/*" if camera else "image/jpeg,image/png,image/webp"
        if camera:
            self.widget.attrs["capture"] = "environment"

    def clean(self, data: Any, initial: Any = None) -> CleanPhoto | None:
        """Make the photograph again from its pixels."""
        file = data or None
        return clean_photo(file) if file else None


class PhotoForm(TokenForm):
    """A photograph of a chassis, from the camera or from what the phone holds."""

    taken = PhotoField(label="Take a photograph", camera=True)
    chosen = PhotoField(label="Or choose one that you have")
    caption = forms.CharField(label="What it shows", required=False, max_length=200)

    def clean(self) -> dict[str, Any]:
        """Ask for one photograph at least."""
        given = super().clean() or self.cleaned_data
        if not (self.errors or self.photos):
            self.add_error("taken", "There is no photograph yet: take one, or choose one.")
        return given

    @property
    def photos(self) -> list[CleanPhoto]:
        """Those that came with the form."""
        return [photo for name in ("taken", "chosen") if (photo := self.cleaned_data.get(name))]
