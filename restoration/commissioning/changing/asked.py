"""What a change is about, as the address says it; and the form in which people say it where the address does not."""

from datetime import datetime, time
from typing import Any

from django import forms
from django.db.models import Model, Q
from django.http import QueryDict
from django.utils import timezone

from restoration.commissioning.changing.short_forms import ShortForm
from restoration.commissioning.changing.touched import Touched
from restoration.common.text import can_be_stored
from restoration.machine.forms.fields import TickedField
from restoration.machine.models import Chassis, Design, DesignIssue, Earth, Interconnect, Rack, Rail, Slot, Stage
from restoration.proving.models import Instrument


class PaintedField(forms.CharField):
    """A thing by the code painted on it, as it is typed."""

    def __init__(self, model: type[Model], by: str, noun: str, **kwargs: Any) -> None:
        kwargs.setdefault("max_length", 320)
        super().__init__(strip=False, **kwargs)
        self.model, self.by, self.noun = model, by, noun
        self.widget.attrs.update({"autocapitalize": "off", "autocomplete": "off", "spellcheck": "false"})

    def clean(self, value: Any) -> Any:
        """Find it; what is not there is said."""
        code = super().clean(value)
        if not code:
            return None
        found = self.model._default_manager.filter(**{self.by: code}).first()
        if found is None:
            raise forms.ValidationError(f"There is no {self.noun} “{code}”; give the code as it is painted.")
        return found


class ByCode(forms.ModelChoiceField):
    """One of a few things, by its code."""

    def __init__(self, model: type[Model], by: str, **kwargs: Any) -> None:
        super().__init__(model._default_manager.all(), to_field_name=by, **kwargs)

    def to_python(self, value: Any) -> Any:
        """Find it; what is no text names nothing."""
        if not can_be_stored(str(value)):
            raise forms.ValidationError(self.error_messages["invalid_choice"], params={"value": value})
        return super().to_python(value)

    def label_from_instance(self, obj: Any) -> str:
        """Name it with what it is for."""
        function = getattr(obj, "function", "") or getattr(obj, "description", "")
        code = getattr(obj, self.to_field_name or "pk")
        return f"{code}, {function}" if function else str(code)


class ByCodes(TickedField):
    """Some racks, by their codes."""

    def __init__(self, **kwargs: Any) -> None:
        widget = forms.CheckboxSelectMultiple
        super().__init__(Rack.objects.in_order(), to_field_name="code", widget=widget, **kwargs)

    def label_from_instance(self, obj: Any) -> str:
        """Name it with what it is for."""
        return f"{obj.code}, {obj.function}" if obj.function else str(obj.code)


class DayField(forms.DateField):
    """A day; it counts from its first moment."""

    widget = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")

    def __init__(self, **kwargs: Any) -> None:
        wrong = {"invalid": "Give a day as year-month-day, such as 2026-05-03."}
        super().__init__(**{**kwargs, "error_messages": {**wrong, **kwargs.get("error_messages", {})}})

    def clean(self, value: Any) -> datetime | None:
        """Read the day as its first moment by the clock of the site."""
        day = super().clean(value)
        return timezone.make_aware(datetime.combine(day, time.min)) if day else None


def _field(name: str) -> forms.Field:
    no: dict[str, Any] = {"required": False}
    fields: dict[str, Any] = {
        "slot": lambda: PaintedField(Slot, "code", "slot", label="Slot", **no),
        "chassis": lambda: PaintedField(Chassis, "serial", "chassis", label="Chassis, by its serial", **no),
        "stage": lambda: forms.ModelChoiceField(
            Stage.objects.none(), label="Stage", empty_label="not known, take the whole chassis", **no
        ),
        "link": lambda: PaintedField(Interconnect, "code", "link", label="Link", **no),
        "rail": lambda: ByCode(Rail, "code", label="Rail", empty_label="which rail?", **no),
        "earth": lambda: ByCode(Earth, "code", label="Earth", empty_label="which earth?", **no),
        "design": lambda: PaintedField(Design, "number", "drawing", label="Drawing number", **no),
        "letter": lambda: forms.CharField(label="Issue", max_length=10, **no),
        "instrument": lambda: ByCode(Instrument, "mark", label="Instrument", empty_label="which instrument?", **no),
        "since": lambda: DayField(label="Since", **no),
        "rack": lambda: ByCodes(label="Racks", **no),
    }
    field: forms.Field = fields[name]()
    return field


LABELS = {
    ("SWAPPED", "chassis"): "Chassis that goes in, by its serial",
    ("INSTRUMENT", "since"): "Last known to be good on",
    ("REST", "since"): "At rest since",
    ("REST", "rack"): "Racks that rested (none ticked: all)",
}


class AskedForm(forms.Form):
    """Which thing a change is about; sent with the address, so that the page before it can be shared."""

    def __init__(self, data: QueryDict | None, *, short: ShortForm) -> None:
        super().__init__(data)
        self.short = short
        for name in short.names:
            self.fields[name] = _field(name)
            self.fields[name].label = LABELS.get((short.kind.name, name), self.fields[name].label)
        self._offer_stages()

    def _offer_stages(self) -> None:
        if "stage" not in self.fields:
            return
        slot, chassis = self.data.get("slot", ""), self.data.get("chassis", "")
        is_text = can_be_stored(slot) and can_be_stored(chassis)
        designs = Design.objects.filter(Q(slots__code=slot) | Q(chassis__serial=chassis))
        stages = Stage.objects.filter(design__in=designs)
        if is_text and stages.exists():
            self.fields["stage"].queryset = stages  # type: ignore[attr-defined]
        else:
            del self.fields["stage"]

    @classmethod
    def empty(cls, short: ShortForm) -> "AskedForm":
        """The form as it is shown to somebody who named nothing yet."""
        return cls(None, short=short)

    @property
    def is_answered(self) -> bool:
        """Whether it is known what the change is about."""
        given = self.cleaned_data if self.is_valid() else {}
        return self.is_valid() and (not self.short.about or any(given.get(name) for name in self.short.about))

    @property
    def is_asked(self) -> bool:
        """Whether the address names anything at all."""
        return any(self.data.get(name) for name in self.fields)

    def refuse_nothing(self) -> None:
        """Say that something is to be named, where nothing is."""
        if not self.errors:
            words = " or ".join(str(self.fields[name].label).split(",")[0].lower() for name in self.short.about)
            self.add_error(None, f"Say first what it is about: {words}.")

    @property
    def touched(self) -> Touched:
        """What the change is about, as far as the address says."""
        given = self.cleaned_data
        return Touched(
            chassis=given.get("chassis"),
            slot=given.get("slot"),
            stage=given.get("stage"),
            interconnect=given.get("link"),
            rail=given.get("rail"),
            earth=given.get("earth"),
            issue=self.issue,
            instrument=given.get("instrument"),
            racks=tuple(given.get("rack") or ()),
            since=given.get("since"),
        )

    @property
    def design(self) -> Design | None:
        """The drawing, where the change is of one."""
        found: Design | None = self.cleaned_data.get("design")
        return found

    @property
    def issue(self) -> DesignIssue | None:
        """The issue of the drawing, where it is on the list already."""
        letter = self.cleaned_data.get("letter")
        if self.design is None or not letter:
            return None
        return self.design.issues.select_related("design").filter(letter=letter).first()

    @property
    def address(self) -> str:
        """The words of the address again, those alone that this kind knows."""
        kept = QueryDict(mutable=True)
        for name in self.fields:
            kept.setlist(name, [value for value in self.data.getlist(name) if value])  # type: ignore[attr-defined]
        return kept.urlencode()
