"""One end of a link at one stage: a capture or figures by hand."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.forms import BoundField

from restoration.engineering.figures import NANOSECONDS
from restoration.machine.figures import UNITS
from restoration.machine.models import SignalLimit
from restoration.machine.models.limits import Quantity
from restoration.people.models import Person
from restoration.proving.captures_store import Original, held, hold, original_of, take_upload
from restoration.proving.forms.fields import FigureField
from restoration.proving.measuring import EndMeasured, Setting
from restoration.proving.models import SignalCheck
from restoration.proving.models.signal_checks import End, Stage
from restoration.proving.quantities import ORDER, USUAL, as_typed, judges, limit_reads, order_of
from restoration.proving.services.signal_checks import EndFigures, measure_end


class EndForm(forms.Form):
    """What was seen at one end, as found or as left."""

    capture = forms.FileField(
        label="Capture from the oscilloscope",
        required=False,
        allow_empty_file=True,
        help_text="A file of samples as the oscilloscope saves it: CSV or text.",
    )
    channel = forms.CharField(
        label="Channel", required=False, max_length=60, help_text="Its name or number, where it is not the first."
    )
    interval_s = FigureField(
        NANOSECONDS, label="Sample interval, ns", above_zero=True, help_text="Only where the file does not say."
    )
    delay_from = forms.CharField(
        label="Delay counted from channel", required=False, max_length=60, help_text="Another channel of this capture."
    )
    held = forms.CharField(required=False, max_length=2000, widget=forms.HiddenInput)

    def __init__(
        self, data: Any, files: Any, *, end: End, stage: Stage, limits: Sequence[SignalLimit], me: Person
    ) -> None:
        super().__init__(data, files, prefix=f"{end}-{stage}")
        self.end, self.stage, self.limits, self.me = end, stage, limits, me
        self.limited = order_of(row.quantity for row in limits if judges(row))
        self.asked_first = self.limited or list(USUAL)
        self.asked_after = [name for name in ORDER if name not in self.asked_first and name != Quantity.DC_LEVEL]
        for quantity in (*self.asked_first, *self.asked_after):
            self.fields[quantity] = self._figure_field(quantity)
        self.held_token = ""
        self.held_name = ""
        self.channels: list[str] = []

    def _figure_field(self, quantity: str) -> FigureField:
        unit = UNITS[quantity]
        row = next((row for row in self.limits if row.quantity == quantity), None)
        where = "Limit" if self.end == End.LOAD else "Limit at the load end"
        limit = f"{where}: {limit_reads(row)}." if row else ""
        label = f"{Quantity(quantity).label}, {unit.usual}"
        return FigureField(unit, label=label[0].upper() + label[1:], help_text=limit)

    @property
    def title(self) -> str:
        """Name this end and stage, to say where something must be mended."""
        return f"{self.end.label.capitalize()} as {self.stage.label}"

    @property
    def first_figures(self) -> list[BoundField]:
        """The figures that the signal has limits on, or the usual ones."""
        return [self[quantity] for quantity in self.asked_first]

    @property
    def other_figures(self) -> list[BoundField]:
        """The figures that may be added."""
        return [self[quantity] for quantity in self.asked_after]

    @property
    def has_other_figures(self) -> bool:
        """Whether one of the seldom ones was filled in, so that its fold stands open."""
        return any(bound.value() or bound.errors for bound in self.other_figures)

    @property
    def is_used(self) -> bool:
        """Whether anything was filled in, so that the fold of this end stands open."""
        return self.is_bound and (self.has_changed() or bool(self.held_token))

    @property
    def asks_how_to_read(self) -> bool:
        """Whether channel or interval matter, so that their fold stands open."""
        named = (self["channel"], self["interval_s"], self["delay_from"])
        return len(self.channels) > 1 or any(bound.errors or bound.value() for bound in named)

    def clean(self) -> dict[str, Any]:
        """Find the capture, sent now or held from the time before."""
        given = super().clean() or self.cleaned_data
        given["original"] = self._original(given)
        return given

    def _original(self, given: dict[str, Any]) -> Original | None:
        if given.get("capture"):
            try:
                return take_upload(given["capture"])
            except ValueError as refusal:
                self.add_error("capture", str(refusal))
                return None
        if not given.get("held"):
            return None
        original = held(given["held"], self.me)
        if original is None:
            self.add_error("capture", "The capture sent before is no longer kept here; choose the file again.")
        return original

    def figures(self) -> dict[str, float]:
        """Give the figures typed, in SI units."""
        names = (*self.asked_first, *self.asked_after)
        return {name: self.cleaned_data[name] for name in names if self.cleaned_data.get(name) is not None}

    def measured(self, setting: Setting) -> EndMeasured | None:
        """Measure what was given; None where nothing was, or where a sentence says why it cannot be."""
        original, figures = self.cleaned_data.get("original"), self.figures()
        if self.errors or (original is None and not figures):
            return None
        given = EndFigures(
            self.end,
            self.stage,
            figures,
            original.data if original else None,
            original.name if original else "",
            self.cleaned_data.get("channel", ""),
            self.cleaned_data.get("interval_s"),
            self.cleaned_data.get("delay_from", ""),
        )
        try:
            measured = measure_end(given, setting, self.limits)
        except ValidationError as refusal:
            self.add_error(None, refusal)
        except ValueError as refusal:
            self.add_error("capture", str(refusal))
        else:
            self._keep(original, measured)
            return measured
        return None

    def _keep(self, original: Original | None, measured: EndMeasured) -> None:
        """Remember what was read, in case the form comes back."""
        if original is not None and measured.taken is not None:
            self.original, self.held_name = original, original.name
            self.channels = [trace.name for trace in measured.taken.capture.channels]

    def hold(self) -> None:
        """Keep the readable capture for when the form is sent again."""
        if self.held_name:
            self.held_token = hold(self.original, self.me)

    def fill_from(self, check: SignalCheck) -> None:
        """Fill in what an earlier record has of this end, for its correction."""
        if self.is_bound:
            return
        mine = {"end": self.end, "stage": self.stage}
        capture = check.captures.filter(**mine).first()
        if capture is not None and capture.original.storage.exists(str(capture.original.name)):
            self.original = original_of(capture)
            self.held_name = capture.original_name
            self.initial["channel"] = capture.channel
            self.hold()
            return
        for row in check.readings.filter(**mine).exclude(value=None):
            self.initial[row.quantity] = as_typed(row.quantity, row.value or 0.0)
