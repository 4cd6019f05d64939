"""What the story so far is made of: plain frozen records, people by short name, times with zone."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, datetime


@dataclass(frozen=True)
class InstrumentStory:
    """A measuring instrument of the site."""

    mark: str
    kind: str
    description: str
    bandwidth_hz: float | None
    gain_accuracy: float
    check_due_on: date


@dataclass(frozen=True)
class StepStory:
    """A step of a chassis on its way; `to` is who it was allotted or handed over to."""

    kind: str
    at: datetime
    by: str
    entered_by: str
    text: str = ""
    to: str | None = None


@dataclass(frozen=True)
class PhotoStory:
    """A photograph that was taken; the picture itself is drawn by whoever loads the story."""

    at: datetime
    by: str
    entered_by: str
    caption: str


@dataclass(frozen=True)
class ReceivingStory:
    """A chassis taken in on site."""

    at: datetime
    by: str
    second: str
    label_read: str
    papers_complete: bool
    damage: str
    result: str


@dataclass(frozen=True)
class ColdCheckStory:
    """A chassis looked over with no power."""

    at: datetime
    by: str
    second: str
    ht_to_chassis_ohm: float
    heater_to_chassis_ohm: float
    agrees_with_drawing: bool
    joints_good: bool
    hazards: str
    result: str
    remarks: str


@dataclass(frozen=True)
class BenchReadingStory:
    """One figure of a bench test; quantity is a name of the limits: dc_level, amplitude, …"""

    place: str
    quantity: str
    value: float
    load_ohm: float | None = None
    load_f: float | None = None


@dataclass(frozen=True)
class BenchStory:
    """A chassis run on the bench."""

    at: datetime
    by: str
    second: str
    instrument: str
    warm_up_min: float
    ht_v: float
    ht_ma: float
    heater_v: float
    heater_a: float
    temperature_c: float
    readings: tuple[BenchReadingStory, ...]
    result: str
    remarks: str


@dataclass(frozen=True)
class FittingStory:
    """A chassis put into a slot, both labels read."""

    at: datetime
    by: str
    second: str
    slot: str
    slot_label_read: str
    chassis_label_read: str
    remarks: str = ""


@dataclass(frozen=True)
class WithdrawalStory:
    """A chassis taken out of its slot, and why."""

    at: datetime
    by: str
    slot: str
    why: str


ChassisEvent = StepStory | PhotoStory | ReceivingStory | ColdCheckStory | BenchStory | FittingStory | WithdrawalStory


@dataclass(frozen=True)
class ChassisStory:
    """One physical unit and everything that happened to it, oldest first."""

    serial: str
    design_number: str
    issue: str
    builder: str
    meant_for: str
    events: tuple[ChassisEvent, ...]

    @property
    def fitted_in(self) -> str | None:
        """The slot it is in now, if it is in one."""
        slot = None
        for event in self.events:
            if isinstance(event, FittingStory):
                slot = event.slot
            elif isinstance(event, WithdrawalStory):
                slot = None
        return slot


@dataclass(frozen=True)
class JoiningStory:
    """A wire joined, made again or lifted."""

    kind: str
    at: datetime
    by: str
    second: str
    remarks: str = ""


@dataclass(frozen=True)
class RingOutStory:
    """A wire proved end to end with no power."""

    at: datetime
    by: str
    second: str
    resistance_ohm: float | None
    to_chassis_ohm: float
    test_v: float
    both_labels_read: bool
    result: str
    remarks: str = ""


@dataclass(frozen=True)
class LinkState:
    """The physics of one interconnect at one moment; `rise_s` and `fall_s` are the whole leading and trailing edge."""

    rest_v: float
    active_v: float
    duration_s: float
    rise_s: float
    fall_s: float
    period_s: float
    source_ohm: float
    impedance_ohm: float
    delay_s: float
    load_ohm: float
    load_f: float
    series_ohm: float = 0.0
    shunt_ohm: float = float("inf")
    ripple_v: float = 0.0
    noise_v: float = 0.02
    beside_ohm: float = float("inf")
    beside_f: float = 0.0


@dataclass(frozen=True)
class SignalCheckStory:
    """One visit of a pair with an oscilloscope; figures and captures follow from the states."""

    number: int
    interconnect: str
    at: datetime
    by: str
    second: str
    ends: tuple[str, ...]
    found: LinkState
    left: LinkState | None
    parts_changed: str
    instrument: str
    probe_factor: float
    reference: str
    loads_joined: bool
    ht_v: float
    bias_v: float
    heater_v: float
    temperature_c: float
    also_running: str
    expected: str
    remarks: str = ""
    captured: bool = False
    capture_shape: str = "two rows"
    capture_trouble: str = ""


@dataclass(frozen=True)
class LinkStory:
    """One interconnect and everything that happened to it, each list oldest first."""

    code: str
    joinings: tuple[JoiningStory, ...] = ()
    ring_outs: tuple[RingOutStory, ...] = ()
    checks: tuple[SignalCheckStory, ...] = ()


@dataclass(frozen=True)
class AttemptStory:
    """What was tried at a fault, what was read, and how long it took."""

    at: datetime
    by: str
    tried: str
    read: str
    minutes: int


@dataclass(frozen=True)
class EpisodeStory:
    """A fault seen (or seen again), what was tried, and how it was closed, if it was."""

    seen_at: datetime
    seen_by: str
    what_was_seen: str
    attempts: tuple[AttemptStory, ...]
    closed_at: datetime | None = None
    closed_by: str | None = None
    outcome: str = ""
    cause: str = ""
    cure: str = ""
    proof_check: int | None = None


@dataclass(frozen=True)
class FaultStory:
    """One fault of an interconnect; every episode after the first is a coming back."""

    number: int
    interconnect: str
    symptom: str
    how_often: str
    conditions: str
    from_check: int | None
    episodes: tuple[EpisodeStory, ...]

    @property
    def is_open(self) -> bool:
        """Whether nobody has closed it since it was last seen."""
        return self.episodes[-1].closed_at is None

    @property
    def minutes_lost(self) -> int:
        """All the time spent on it."""
        return sum(attempt.minutes for episode in self.episodes for attempt in episode.attempts)


@dataclass(frozen=True)
class Story:
    """All that has happened up to the evening of 24 November 2026."""

    instruments: tuple[InstrumentStory, ...]
    chassis: tuple[ChassisStory, ...]
    links: tuple[LinkStory, ...]
    faults: tuple[FaultStory, ...]

    def checks(self) -> Iterator[SignalCheckStory]:
        """Every signal check, link by link."""
        for link in self.links:
            yield from link.checks


@dataclass(frozen=True)
class Figures:
    """What a check would read at one end, in SI units; overshoot a fraction of the amplitude."""

    amplitude_v: float
    pulse_duration_s: float
    rise_time_s: float
    fall_time_s: float
    overshoot: float
    period_s: float | None = field(default=None)
