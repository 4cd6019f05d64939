"""What is filled in at the rack when a signal is checked: as little as can be."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.forms import BoundField

from restoration.engineering.figures import VOLTS
from restoration.machine.models import Interconnect, SignalLimit
from restoration.machine.models.limits import Quantity
from restoration.people.models import Person
from restoration.proving.forms.ends import EndForm
from restoration.proving.forms.fields import FigureField
from restoration.proving.forms.wire_checks import LinkRecordForm
from restoration.proving.level_figures import ask_whether_misread
from restoration.proving.loads import ask_whether_joined, missing_loads
from restoration.proving.measuring import EndMeasured, Setting, expected_amplitude, suspicion_by_hand
from restoration.proving.models import Instrument, SignalCheck
from restoration.proving.models.instruments import InstrumentKind
from restoration.proving.models.signal_checks import End, Stage
from restoration.proving.remembered import CONDITIONS, last_check_of
from restoration.proving.services.signal_checks import LOAD_NEEDED, PAIR_NEEDED

PLACES = ((End.LOAD, Stage.FOUND), (End.LOAD, Stage.LEFT), (End.SOURCE, Stage.FOUND), (End.SOURCE, Stage.LEFT))
SURROUNDINGS = (
    "instrument",
    "probe_compensated",
    "reference",
    "loads_missing",
    "parts_changed",
    "remarks",
    "probe_allowed_for",
    *CONDITIONS,
)


class SignalCheckForm(LinkRecordForm):
    """One visit of a pair to a link; each of its four ends is a form of its own within."""

    second_is_needed = True
    loads = forms.ChoiceField(
        label="Loads on the source",
        choices=[("all", "all joined"), ("some", "not all joined")],
        widget=forms.RadioSelect,
    )
    loads_missing = forms.CharField(label="Which were not joined", required=False, max_length=200)
    instrument = forms.ModelChoiceField(Instrument.objects.none(), required=False, empty_label="not on the list")
    probe = forms.TypedChoiceField(
        label="Probe",
        choices=[("1", "×1"), ("10", "×10"), ("100", "×100")],
        coerce=float,
        widget=forms.RadioSelect,
    )
    probe_compensated = forms.BooleanField(label="The probe was compensated on this instrument today", required=False)
    probe_allowed_for = forms.BooleanField(
        label="The instrument already multiplies by the probe", required=False, initial=True
    )
    reference = forms.CharField(label="Triggered from", required=False, max_length=120)
    parts_changed = forms.CharField(
        label="Parts changed between found and left",
        required=False,
        help_text="Attenuator, terminator, damper: value and place, such as 330 Ω in series at B-05:7.",
        widget=forms.Textarea(attrs={"rows": 2}),
    )
    ht_v = FigureField(VOLTS, label="HT, V")
    bias_v = FigureField(VOLTS, label="Bias, V")
    heater_v = FigureField(VOLTS, label="Heaters, V")
    temperature_c = forms.FloatField(label="Room, °C", required=False, min_value=-30, max_value=60)
    also_running = forms.CharField(label="What else was running", required=False, max_length=200)
    remarks = forms.CharField(label="Remarks", required=False, widget=forms.Textarea(attrs={"rows": 2}))
    looked = forms.BooleanField(label="I looked at probe, channel, unit and loads: all is right", required=False)

    def __init__(
        self, *args: Any, interconnect: Interconnect, limits: Sequence[SignalLimit], me: Person, **kwargs: Any
    ) -> None:
        self.interconnect, self.limits = interconnect, limits
        self.missing = missing_loads(interconnect)
        super().__init__(*args, me=me, **kwargs)
        sent = (self.data, self.files) if self.is_bound else (None, None)
        self.ends = [EndForm(*sent, end=end, stage=stage, limits=limits, me=me) for end, stage in PLACES]
        self.measured: list[EndMeasured] = []
        self.suspicions: list[str] = []
        self.fields["second_person"].error_messages["required"] = PAIR_NEEDED
        scopes = Instrument.objects.filter(kind=InstrumentKind.OSCILLOSCOPE)
        self.fields["instrument"].queryset = scopes  # type: ignore[attr-defined]
        self._fill_in(me)

    def _fill_in(self, me: Person) -> None:
        """Fill in all that is known: the last instrument and probe, today's conditions, the loads by the book."""
        last: Any = self.replaces or last_check_of(me)
        self.initial.setdefault("instrument", last.instrument)
        self.initial.setdefault("probe", f"{last.probe_factor:g}")
        self.initial.setdefault("probe_compensated", last.probe_compensated)
        self.initial.setdefault("loads", "some" if self.missing else "all")
        self.initial.setdefault("loads_missing", ", ".join(self.missing))
        if isinstance(last, SignalCheck):
            names = (*CONDITIONS, "reference", "parts_changed", "remarks", "loads_missing")
            self.initial.update({name: getattr(last, name) for name in names})
            self.initial["loads"] = "all" if last.loads_joined else "some"
            for end in self.ends:
                end.fill_from(last)
        else:
            self.initial.update(last.conditions)

    @property
    def load_found(self) -> EndForm:
        """The load end as found: the one that is asked first."""
        return self.ends[0]

    @property
    def load_left(self) -> EndForm:
        """The load end as left."""
        return self.ends[1]

    @property
    def source_ends(self) -> list[EndForm]:
        """The source end, as found and as left."""
        return self.ends[2:]

    @property
    def source_is_used(self) -> bool:
        """Whether the fold of the source end stands open."""
        return any(end.is_used for end in self.source_ends)

    @property
    def wrong_in_ends(self) -> list[tuple[EndForm, BoundField]]:
        """The fields of the ends that must be mended, to be named above the form."""
        if not self.is_bound:
            return []
        return [(end, bound) for end in self.ends for bound in end.visible_fields() if bound.errors]

    @property
    def setting_in_words(self) -> str:
        """Instrument and probe as filled in, for the fold that they lie in."""
        chosen = self["instrument"].value()
        row = chosen if isinstance(chosen, Instrument) else None
        if row is None and str(chosen or "").isdecimal():
            row = Instrument.objects.filter(pk=int(chosen)).first()
        name = row.mark if row else "instrument not named"
        compensated = "compensated" if self["probe_compensated"].value() else "not compensated today"
        return f"{name}, ×{self['probe'].value()} probe, {compensated}"

    def is_valid(self) -> bool:
        """Take the whole as valid only with every end; what could be read is held for the next time."""
        fine = super().is_valid() and all(not end.errors for end in self.ends)
        if not fine and self.is_bound:
            for end in self.ends:
                end.hold()
        return fine

    def clean(self) -> dict[str, Any]:
        """Measure the ends, and say aloud what looks like a probe left unset."""
        given = super().clean()
        if given.get("loads") == "all" and given.get("loads_missing") == self.initial["loads_missing"]:
            given["loads_missing"] = ""  # the form filled it in, and whoever ticks “all joined” knows better
        if "probe" not in given or not all(end.is_valid() for end in self.ends):
            return given
        setting = Setting.of(given.get("instrument"), given["probe"], given["probe_allowed_for"])
        found = [end.measured(setting) for end in self.ends]
        self.measured = [one for one in found if one is not None]
        if not any(end.errors for end in self.ends):
            self._refuse_or_suspect(given)
        return given

    def _refuse_or_suspect(self, given: dict[str, Any]) -> None:
        if not any(one.end == End.LOAD for one in self.measured):
            self.add_error(None, LOAD_NEEDED)
        self.suspicions = self._suspicions()
        if given.get("loads") == "all" and "done_at" in given:
            self.suspicions += ask_whether_joined(self.interconnect, given["done_at"])
        if self.suspicions and not given.get("looked"):
            self.add_error("looked", [*self.suspicions, "Mend it, or tick below that you looked and it is right."])

    def _suspicions(self) -> list[str]:
        expected_v = expected_amplitude(self.limits)
        found: list[str] = []
        for one in (one for one in self.measured if one.end == End.LOAD):
            typed = any(reading.quantity == Quantity.AMPLITUDE and reading.value for reading in one.readings)
            if one.taken is not None:
                found += one.taken.suspicions
            elif typed:
                found.append(suspicion_by_hand(one.readings, expected_v))
        found += [ask_whether_misread(one.readings) for one in self.measured if one.taken is None]
        return list(dict.fromkeys(sentence for sentence in found if sentence))

    def record(self) -> dict[str, Any]:
        """Give all that the service takes, save the link."""
        given = self.cleaned_data
        return {
            "ends": self.measured,
            "loads_joined": given["loads"] == "all",
            "probe_factor": given["probe"],
            **{name: given[name] for name in SURROUNDINGS},
            **self.heading(),
        }
