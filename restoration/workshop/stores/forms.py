"""What is filled in about the parts in the stores."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from restoration.common.posts import TokenForm
from restoration.common.versions import VersionField
from restoration.engineering.figures import PERCENT, VOLTS, WATTS, plain_number
from restoration.machine.forms.fields import FigureField
from restoration.workshop.models import Grade, PartKind, StoresLine
from restoration.workshop.parts import value_in_words
from restoration.workshop.services import MOST_PARTS, PartGiven
from restoration.workshop.stores.fields import ValueField, WattsField, read_value

MOST_BYTES = 500_000
WHOLE = {"invalid": "Parts are counted in whole numbers."}


class StoresLineEditForm(TokenForm):
    """So many alike parts in one place."""

    version = VersionField()
    kind = forms.ChoiceField(label="What it is", choices=PartKind.choices)
    value = ValueField(
        label="Value",
        help_text="As it is written on the part: 4k7, 2M2, 100p, 0.1 µF.",
        error_messages={"required": "Give the value of the part, such as 4k7 or 100p."},
    )
    tolerance = FigureField(
        PERCENT,
        label="Tolerance, %",
        required=True,
        error_messages={"required": "Give the tolerance in per cent; 20 % is usual where none is marked."},
    )
    rating_w = WattsField(label="Rating, W")
    rating_v = FigureField(VOLTS, label="Rating, V")
    quantity = forms.IntegerField(
        label="How many",
        min_value=0,
        max_value=MOST_PARTS,
        error_messages={
            **WHOLE,
            "required": "Say how many there are; 0 if there are none left.",
            "min_value": "There cannot be fewer than none; give 0 or more.",
            "max_value": f"That is more than {MOST_PARTS:,}; check the number.",
        },
    )
    grade = forms.ChoiceField(label="Grade", choices=Grade.choices, initial=Grade.PERIOD)
    make = forms.CharField(label="Make and type", required=False, max_length=80)
    place = forms.CharField(label="Place", required=False, max_length=80, help_text="The drawer or box.")
    remarks = forms.CharField(
        label="Remarks", required=False, widget=forms.Textarea(attrs={"rows": 3}), max_length=4000
    )

    def clean(self) -> dict[str, Any]:
        """Read the value as that of a resistor or of a capacitor."""
        given = super().clean() or self.cleaned_data
        if given.get("kind") and given.get("value"):
            try:
                given["value"] = read_value(given["value"], given["kind"])
            except ValidationError as wrong:
                self.add_error("value", wrong)
        return given

    def part(self) -> PartGiven:
        """The parts as they are stored."""
        return PartGiven(**{name: self.cleaned_data[name] for name in PartGiven.__dataclass_fields__})


class StoresLineForm(StoresLineEditForm):
    """Parts that no line holds yet."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        del self.fields["version"]


class MoveForm(TokenForm):
    """Some parts taken out of a line, or put to those that are there."""

    way = forms.ChoiceField(label="What is done", choices=(("take", "take them out"), ("put", "put them in")))
    count = forms.IntegerField(
        label="How many",
        min_value=1,
        max_value=MOST_PARTS,
        error_messages={
            **WHOLE,
            "required": "Say how many.",
            "min_value": "Take or put in at least one.",
            "max_value": f"That is more than {MOST_PARTS:,}; check the number.",
        },
    )
    why = forms.CharField(
        label="What for",
        max_length=200,
        help_text="Where they go, or where they come from.",
        error_messages={"required": "Say in a few words what for."},
    )


class ListForm(TokenForm):
    """A list of parts, pasted or as a file."""

    text = forms.CharField(
        label="The list",
        required=False,
        strip=False,
        max_length=MOST_BYTES,
        widget=forms.Textarea(
            attrs={"rows": 10, "autocomplete": "off", "autocapitalize": "off", "spellcheck": "false"}
        ),
        help_text="Pasted from a sheet or a text, with its row of headings.",
    )
    file = forms.FileField(
        label="Or a file",
        required=False,
        allow_empty_file=True,
        widget=forms.FileInput(attrs={"accept": ".csv,.txt,.tsv"}),
        help_text="Text with commas, semicolons or tabs, saved as UTF-8.",
    )

    def clean(self) -> dict[str, Any]:
        """One of the two, as text."""
        given = super().clean() or self.cleaned_data
        pasted, file = (given.get("text") or "").strip(), given.get("file")
        if bool(pasted) == bool(file):
            told = "Paste the list or choose a file, not both." if file else "Paste the list, or choose a file."
            raise ValidationError(told)
        given["text"] = self._text_of(file) if file else given["text"]
        return given

    def _text_of(self, file: Any) -> str:
        if file.size > MOST_BYTES:
            raise ValidationError(f"The file has {file.size:,} bytes; a list may have at most {MOST_BYTES:,}.")
        try:
            text: str = file.read().decode("utf-8-sig")
        except UnicodeDecodeError as wrong:
            raise ValidationError(
                "The file is not text in UTF-8; save the list as UTF-8 and bring it again."
            ) from wrong
        return text


def stores_line_as_stored(line: StoresLine) -> dict[str, Any]:
    """What stands in the form when it is opened."""
    return {
        "version": line.version,
        "kind": line.kind,
        "value": value_in_words(line.kind, line.value),
        "tolerance": plain_number(line.tolerance, PERCENT),
        "rating_w": "" if line.rating_w is None else plain_number(line.rating_w, WATTS),
        "rating_v": "" if line.rating_v is None else plain_number(line.rating_v, VOLTS),
        **{name: getattr(line, name) for name in ("quantity", "grade", "make", "place", "remarks")},
    }
