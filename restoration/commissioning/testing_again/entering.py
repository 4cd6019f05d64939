"""The results of a sheet, row by row: each filled-in row becomes the record it would be on its own page."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from restoration.commissioning.gates import gate_of
from restoration.commissioning.testing_again.sheets import SheetRow
from restoration.engineering.figures import OHMS_READ
from restoration.machine.figures import UNITS
from restoration.machine.models import Interconnect, SignalLimit
from restoration.machine.models.limits import Quantity
from restoration.machine.records import Result
from restoration.people.doers import DoerForm
from restoration.people.models import Person
from restoration.proving.forms.fields import FigureField
from restoration.proving.level_figures import ask_whether_misread
from restoration.proving.measuring import EndMeasured, Setting, expected_amplitude, suspicion_by_hand
from restoration.proving.models import Instrument
from restoration.proving.models.instruments import InstrumentKind
from restoration.proving.models.signal_checks import End, Stage
from restoration.proving.quantities import judges, order_of
from restoration.proving.remembered import last_check_of, second_person_of
from restoration.proving.services.signal_checks import EndFigures, measure_end

ASKED_WITHOUT_LIMITS = (Quantity.AMPLITUDE, Quantity.PULSE_DURATION)


class RowForm(forms.Form):
    """What may be filled in for one row; left empty, the row stays open."""

    remarks = forms.CharField(label="Remark", required=False, max_length=400)
    field_order: Sequence[str] = ()

    def __init__(self, data: Any, *, row: SheetRow) -> None:
        super().__init__(data, prefix=row.prefix, use_required_attribute=False)
        self.row = row
        self.order_fields([*(name for name in self.fields if name != "remarks"), "remarks"])

    @property
    def is_filled(self) -> bool:
        """Whether anything was written in this row."""
        return self.is_bound and self.has_changed()

    @property
    def named(self) -> str:
        """How the row is called in a sentence."""
        return f"Row {self.row.row.number} ({self.row.row.check.kind} {self.row.row.check.code})"


class SignalRowForm(RowForm):
    """The figures read at the load end, as found; a part that was changed goes by the link's own form."""

    all_loads = forms.BooleanField(label="All loads joined", required=False)
    looked = forms.BooleanField(label="I looked again: it is right", required=False)

    def __init__(self, data: Any, *, row: SheetRow, limits: Sequence[SignalLimit], all_joined: bool) -> None:
        super().__init__(data, row=row)
        self.limits = limits
        self.initial["all_loads"] = all_joined
        limited = order_of(row.quantity for row in limits if judges(row))
        self.asked = limited or [str(name) for name in ASKED_WITHOUT_LIMITS]
        for name in self.asked:
            label = f"{Quantity(name).label}, {UNITS[name].usual}"
            self.fields[name] = FigureField(UNITS[name], label=label[0].upper() + label[1:])
        self.order_fields([*self.asked, "all_loads", "looked", "remarks"])
        self.end: EndMeasured | None = None
        self.suspicions: list[str] = []

    @property
    def is_filled(self) -> bool:
        """Whether anything was read here; the tick of the loads stands of itself."""
        return self.is_bound and bool(set(self.changed_data) - {"all_loads"})

    def measure(self, setting: Setting) -> None:
        """Measure what was written, and ask where a figure looks misread."""
        figures = {name: self.cleaned_data[name] for name in self.asked if self.cleaned_data.get(name) is not None}
        if not figures:
            self.add_error(None, "Give at least one figure read at the load end, or leave the whole row empty.")
            return
        try:
            self.end = measure_end(EndFigures(End.LOAD, Stage.FOUND, figures), setting, self.limits)
        except ValidationError as refusal:
            self.add_error(None, refusal)
            return
        asked = [
            suspicion_by_hand(self.end.readings, expected_amplitude(self.limits)),
            ask_whether_misread(self.end.readings),
        ]
        self.suspicions = [sentence for sentence in asked if sentence]
        if self.suspicions and not self.cleaned_data.get("looked"):
            self.add_error("looked", [*self.suspicions, "Mend it, or tick that you looked again."])


class RingRowForm(RowForm):
    """The meter's figures, with the labels read."""

    both_labels_read = forms.BooleanField(label="Labels read at both ends", required=False)
    resistance_ohm = FigureField(OHMS_READ, label="End to end, Ω")
    to_chassis_ohm = FigureField(OHMS_READ, label="To the chassis, Ω")


class JoinRowForm(RowForm):
    """Joints looked at again, or made again."""

    viewed = forms.BooleanField(label="Both joints made again and viewed", required=False)

    def clean(self) -> dict[str, Any]:
        """A remark alone joins nothing."""
        given = super().clean() or self.cleaned_data
        if self.is_filled and not given.get("viewed"):
            self.add_error("viewed", "Tick that both joints were made again and viewed, or leave the whole row empty.")
        return given


class GateRowForm(RowForm):
    """A gate that is signed for in words."""

    result = forms.ChoiceField(
        label="Result", required=False, choices=[("", "not done yet"), *[(r.value, r.label) for r in Result]]
    )
    seen = forms.CharField(label="What was seen or measured", required=False, max_length=1000)

    def clean(self) -> dict[str, Any]:
        """A result says what was seen, and what was seen has a result."""
        given = super().clean() or self.cleaned_data
        if given.get("result") and not given.get("seen"):
            self.add_error("seen", "Say what was seen or measured.")
        if given.get("seen") and not given.get("result"):
            self.add_error("result", "Say what it came to: passed, failed, or that one cannot tell.")
        return given


ROW_FORMS: dict[str, type[RowForm]] = {"joined": JoinRowForm, "rung out": RingRowForm}


class ResultsForm(DoerForm):
    """The results of a whole sheet: who and with what once, then its rows in the order of the paper."""

    instrument = forms.ModelChoiceField(Instrument.objects.none(), required=False, empty_label="not on the list")
    probe = forms.TypedChoiceField(label="Probe", choices=[("1", "×1"), ("10", "×10"), ("100", "×100")], coerce=float)
    probe_compensated = forms.BooleanField(label="The probe was compensated on this instrument today", required=False)
    probe_allowed_for = forms.BooleanField(
        label="The instrument already multiplies by the probe", required=False, initial=True
    )
    ht_v = forms.FloatField(label="HT, V", required=False)

    def __init__(
        self,
        *args: Any,
        me: Person,
        rows: Sequence[SheetRow],
        limits: dict[int, list[SignalLimit]],
        loads_missing: frozenset[int],
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, me=me, **kwargs)
        scopes = Instrument.objects.filter(kind=InstrumentKind.OSCILLOSCOPE)
        self.fields["instrument"].queryset = scopes  # type: ignore[attr-defined]
        data = self.data if self.is_bound else None
        self.rows = [self._row_form(data, row, limits, loads_missing) for row in rows]
        if not self.is_bound:
            self._fill_in(me)

    def _fill_in(self, me: Person) -> None:
        last = last_check_of(me)
        self.initial["instrument"] = last.instrument
        self.initial["probe"] = f"{last.probe_factor:g}"
        self.initial["probe_compensated"] = last.probe_compensated
        self.initial["second_person"] = second_person_of(me)

    def _row_form(
        self, data: Any, row: SheetRow, limits: dict[int, list[SignalLimit]], loads_missing: frozenset[int]
    ) -> RowForm | None:
        """Make the form of a row; None where it is answered, not this person's to sign, or has pages of its own."""
        check = row.row.check
        if row.is_answered or not may_sign(self.me, check.kind, check.gate):
            return None
        if check.gate == "signal-checked":
            joined = row.row.pk not in loads_missing
            return SignalRowForm(data, row=row, limits=limits.get(row.row.pk, []), all_joined=joined)
        if form := ROW_FORMS.get(check.gate):
            return form(data, row=row)
        return GateRowForm(data, row=row) if _is_signed(check.kind, check.gate) else None

    @property
    def filled(self) -> list[RowForm]:
        """The rows in which something was written."""
        return [row for row in self.rows if row is not None and row.is_filled]

    def clean(self) -> dict[str, Any]:
        """Every row that was filled in is whole, and there is at least one."""
        given = super().clean()
        filled = self.filled
        if not filled:
            self.add_error(None, "No row is filled in yet; write at least one result, or leave the page.")
        wrong = [row for row in filled if not self._is_right(row, given)]
        if wrong:
            names = ", ".join(str(row.row.row.number) for row in wrong)
            self.add_error(None, f"Nothing is stored yet: look again at row {names}, where it says what to mend.")
        return given

    def _is_right(self, row: RowForm, given: dict[str, Any]) -> bool:
        if row.is_valid() and isinstance(row, SignalRowForm) and "probe" in given:
            row.measure(Setting.of(given.get("instrument"), given["probe"], given["probe_allowed_for"]))
        return not row.errors


def may_sign(person: Person, kind: str, gate: str) -> bool:
    """Say whether this person may sign this gate."""
    known = gate_of(kind, gate)
    return known is not None and person.may(known.signed_by)


def _is_signed(kind: str, gate: str) -> bool:
    known = gate_of(kind, gate)
    return known is not None and known.is_signed


def limits_by_link(links: Sequence[int]) -> dict[int, list[SignalLimit]]:
    """The limits of the signal of each link, in two queries."""
    signal_of = dict(Interconnect.objects.filter(pk__in=links).values_list("pk", "signal_id"))
    rows = list(SignalLimit.objects.filter(signal__in={pk for pk in signal_of.values() if pk}))
    return {link: [row for row in rows if row.signal_id == signal] for link, signal in signal_of.items()}
