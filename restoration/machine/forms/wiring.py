"""Forms for interconnects and for bringing in a wire list."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from restoration.common.posts import TokenForm
from restoration.common.versions import VersionField
from restoration.engineering.wire_list.bounds import BOUNDS
from restoration.engineering.wire_list.cells import LONGEST_WIRE_M
from restoration.machine.forms.fields import CodeField
from restoration.machine.models import Interconnect
from restoration.machine.services import End

CRITICAL = ((None, "not said"), (True, "yes"), (False, "no"))


class InterconnectEditForm(TokenForm):
    """One wire: its ends, what it carries, and what it is."""

    version = VersionField(required=False)
    from_slot = CodeField(label="From slot", help_text="The source end.")
    from_terminal = CodeField(label="From terminal")
    to_slot = CodeField(label="To slot", help_text="The load end.")
    to_terminal = CodeField(label="To terminal")
    signal = CodeField(label="Signal", required=False)
    wire = CodeField(label="Wire", required=False)
    colour = CodeField(label="Colour", required=False)
    length_m = forms.FloatField(label="Length, m", required=False, min_value=0, max_value=LONGEST_WIRE_M)
    loom = CodeField(label="Loom", required=False)
    is_critical = forms.TypedChoiceField(
        label="Critical",
        required=False,
        choices=(("", "not said"), ("yes", "yes"), ("no", "no")),
        coerce={"yes": True, "no": False}.get,
        empty_value=None,
    )
    remarks = forms.CharField(label="Remarks", required=False, widget=forms.Textarea, max_length=2000)

    def facts(self) -> dict[str, Any]:
        """The wire as the services take it."""
        given = self.cleaned_data
        plain = ("signal", "wire", "colour", "length_m", "loom", "is_critical", "remarks")
        return {
            "source": End(given["from_slot"], given["from_terminal"]),
            "load": End(given["to_slot"], given["to_terminal"]),
            **{name: given[name] for name in plain},
        }


class InterconnectForm(InterconnectEditForm):
    """A wire that is not on the list yet."""

    code = CodeField(
        label="Link code", max_length=300, required=False, help_text="Left empty, it is formed from the two ends."
    )
    field_order = ["code"]


def interconnect_as_stored(link: Interconnect) -> dict[str, Any]:
    """What stands in the form when it is opened."""
    return {
        "version": link.version,
        "from_slot": link.source.slot.code,
        "from_terminal": link.source.code,
        "to_slot": link.load.slot.code,
        "to_terminal": link.load.code,
        "signal": link.signal.name if link.signal else "",
        "wire": link.wire,
        "colour": link.colour,
        "length_m": link.length_m,
        "loom": link.loom,
        "is_critical": {True: "yes", False: "no", None: ""}[link.is_critical],
        "remarks": link.remarks,
    }


class WireListForm(TokenForm):
    """A wire list as a file, and how it is to be read."""

    file = forms.FileField(
        label="Wire list",
        help_text="A .csv, .xlsx or .ods file with the columns from_slot, from_terminal, to_slot and to_terminal.",
        widget=forms.FileInput(attrs={"accept": ".csv,.xlsx,.ods,.txt,.tsv"}),
        error_messages={"required": "No file came with the form; choose the file that holds the wire list."},
        allow_empty_file=True,  # the reading of it says so in its own sentence
    )
    create_missing = forms.BooleanField(
        label="Add racks, slots and terminals that are not known yet", required=False, help_text=""
    )
    both_ends = forms.BooleanField(label="The list names every wire once from each end", required=False)

    def clean_file(self) -> Any:
        """Refuse unread what is too large."""
        file = self.cleaned_data["file"]
        if file.size > BOUNDS.bytes:
            raise ValidationError(
                f"The file has {file.size:,} bytes; a wire list may have at most {BOUNDS.bytes:,}. Nothing was read."
            )
        return file


class ConfirmForm(TokenForm):
    """Says yes to what a wire list would change."""
