"""Writing down signals and their limits."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass

from django.db import transaction

from restoration.logbook.services import write_line
from restoration.machine.events import tell_facts_changed
from restoration.machine.models import Interconnect, Signal, SignalLimit
from restoration.machine.services.saving import stored, who
from restoration.people.models import Person


@dataclass(frozen=True)
class Limit:
    """Any of least, nominal and most of one quantity, in SI units (overshoot as a fraction of the amplitude)."""

    quantity: str
    least: float | None = None
    nominal: float | None = None
    most: float | None = None


@transaction.atomic
def add_signal(*, name: str, by: Person | None, remarks: str = "") -> Signal:
    """Name a pulse or a level, the same wherever it is led."""
    taken = {"name": f"There is a signal called “{name}” already; a name is used once."}
    signal = stored(Signal(name=name, remarks=remarks), taken=taken)
    _line("signal added", f"{who(by)} named the signal “{name}”.", signal, by)
    return signal


@transaction.atomic
def set_limits(*, signal: Signal, limits: Sequence[Limit], by: Person | None, remarks: str | None = None) -> Signal:
    """Write down, in place of what stood there, all that a signal must show at the load end."""
    before = list(signal.limits.values("quantity", "least", "nominal", "most"))
    signal.limits.all().delete()
    for limit in limits:
        stored(SignalLimit(signal=signal, **asdict(limit)))
    if remarks is not None:
        signal.remarks = remarks
        signal.save(update_fields=["remarks"])
    sentence = f"{who(by)} set the limits of the signal “{signal.name}”, {len(limits)} in all."
    _line("limits set", sentence, signal, by, {"before": before, "after": [asdict(limit) for limit in limits]})
    tell_facts_changed(interconnects=Interconnect.objects.filter(signal=signal).values_list("pk", flat=True))
    return signal


def _line(act: str, sentence: str, signal: Signal, by: Person | None, details: dict[str, object] | None = None) -> None:
    write_line(
        act=act, sentence=sentence, by=by, subject_kind="signal", subject_code=signal.name, details=details or {}
    )
