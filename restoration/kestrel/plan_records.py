"""What the plan of the tide computer is made of: plain frozen records."""

from dataclasses import dataclass, field
from datetime import date


@dataclass(frozen=True)
class Limits:
    """Least, nominal and most of one figure; None where there is no such limit."""

    least: float | None
    nominal: float | None
    most: float | None


@dataclass(frozen=True)
class SignalPlan:
    """A named signal and what it must look like at a load."""

    name: str
    kind: str
    polarity: str
    amplitude_v: Limits
    pulse_duration_s: Limits
    rise_time_s: Limits
    fall_time_s: Limits
    overshoot: Limits
    period_s: float


@dataclass(frozen=True)
class PortPlan:
    """One terminal of a design: its mark, its direction and the signal it would carry."""

    mark: str
    direction: str
    signal_template: str
    kind: str


@dataclass(frozen=True)
class IssuePlan:
    """One issue of a drawing."""

    letter: str
    issued: date
    reason: str
    changes_function: bool


@dataclass(frozen=True)
class DcPointPlan:
    """A voltage to be found on the bench with the chassis at rest."""

    name: str
    nominal_v: float
    tolerance_v: float


@dataclass(frozen=True)
class BenchPulsePlan:
    """A pulse to be found on the bench at one terminal, into the stated load."""

    terminal: str
    amplitude_v: Limits
    pulse_duration_s: Limits
    rise_time_s: Limits
    fall_time_s: Limits
    load_ohm: float
    load_f: float
    kind: str


@dataclass(frozen=True)
class DesignPlan:
    """A drawing: what it is of, its issues, its terminals and what the bench must find."""

    number: str
    serial_prefix: str
    title: str
    purpose: str
    issues: tuple[IssuePlan, ...]
    ports: tuple[PortPlan, ...]
    dc_points: tuple[DcPointPlan, ...]
    bench_pulses: tuple[BenchPulsePlan, ...]

    @property
    def current_issue(self) -> str:
        """The letter of the issue to build to."""
        return self.issues[-1].letter


@dataclass(frozen=True)
class RackPlan:
    """A frame of slots."""

    letter: str
    name: str
    place: int


@dataclass(frozen=True)
class SlotPlan:
    """A numbered place for one chassis."""

    code: str
    rack: str
    position: int
    design_number: str
    function: str
    words: dict[str, str] = field(hash=False, compare=False)


@dataclass(frozen=True)
class TerminalPlan:
    """A named joining point of a slot; the signal is None where nothing is wired to it."""

    slot: str
    mark: str
    direction: str
    signal: str | None

    @property
    def code(self) -> str:
        """Slot and mark, as painted: C-04/2."""
        return f"{self.slot}/{self.mark}"


@dataclass(frozen=True)
class InterconnectPlan:
    """One line of the wire list: a source terminal, its loads, and the wire between."""

    code: str
    signal: str
    source: str
    loads: tuple[str, ...]
    wire: str
    colour: str
    length_m: float
    loom: str
    critical: bool
    remarks: str = ""
    source_design: str = ""

    @property
    def output(self) -> tuple[str, str]:
        """Drawing and terminal of the output that drives the line."""
        return self.source_design, self.source.partition("/")[2]


@dataclass(frozen=True)
class MachinePlan:
    """The whole tide computer as it is meant to be."""

    racks: tuple[RackPlan, ...]
    designs: tuple[DesignPlan, ...]
    slots: tuple[SlotPlan, ...]
    signals: tuple[SignalPlan, ...]
    terminals: tuple[TerminalPlan, ...]
    interconnects: tuple[InterconnectPlan, ...]

    @property
    def design_by_number(self) -> dict[str, DesignPlan]:
        """Designs under their drawing numbers."""
        return {design.number: design for design in self.designs}

    @property
    def slot_by_code(self) -> dict[str, SlotPlan]:
        """Slots under their codes."""
        return {slot.code: slot for slot in self.slots}

    @property
    def signal_by_name(self) -> dict[str, SignalPlan]:
        """Signals under their names."""
        return {signal.name: signal for signal in self.signals}
