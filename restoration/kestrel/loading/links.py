"""The story of every wire and every fault, told through the services of proving and faults."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from functools import partial
from typing import Any

from restoration.faults.models import Fault
from restoration.faults.services import close_fault, log_attempt, open_fault, reopen_fault
from restoration.kestrel.captures import capture_files, figures_by_hand
from restoration.kestrel.loading.calendar import Calendar
from restoration.kestrel.loading.chassis import Act
from restoration.kestrel.loading.plan import Cast, wire_codes
from restoration.kestrel.machine_plan import machine_plan
from restoration.kestrel.story_records import (
    AttemptStory,
    EpisodeStory,
    FaultStory,
    Figures,
    JoiningStory,
    LinkStory,
    RingOutStory,
    SignalCheckStory,
)
from restoration.machine.models import Interconnect
from restoration.machine.models.limits import Quantity
from restoration.proving.models import Instrument, SignalCheck
from restoration.proving.services import EndFigures, join_wire, lift_wire, record_signal_check, ring_out

NEXT_WIRE = timedelta(minutes=6)
OPEN_OHM = 20e6  # what a meter shows where the wire does not come through
JOIN, RING, CHECK, FAULT = 1, 2, 3, 4  # of two acts of one minute, which came first


class LinkTeller:
    """Turns what happened to wires into acts, each with its moment."""

    def __init__(self, cast: Cast, calendar: Calendar) -> None:
        self.cast, self.calendar = cast, calendar
        self.links = {link.code: link for link in Interconnect.objects.select_related("signal")}
        self.instruments = {instrument.mark: instrument for instrument in Instrument.objects.all()}
        self.wires = {plan.code: [code for code, _ in wire_codes(plan)] for plan in machine_plan().interconnects}
        self.checks: dict[int, SignalCheck] = {}
        self.faults: dict[int, Fault] = {}

    def acts(self, story: LinkStory) -> Iterator[Act]:
        """Give the acts on one line of the old wire list; every wire of it was joined and rung out alike."""
        for code in self.wires[story.code]:
            for joining in story.joinings:
                yield self.calendar.at(joining.at), JOIN, partial(self._join, joining, code)
            for ringing in story.ring_outs:
                yield self.calendar.at(ringing.at), RING, partial(self._ring, ringing, code)
        for number, code in enumerate(self.wires[story.code]):
            for check in story.checks:
                # The story looks at the first wire of a line; the pair went on to the others with the same settings.
                told = check if number == 0 else replace(check, captured=False, at=check.at + number * NEXT_WIRE)
                yield self.calendar.at(told.at), CHECK, partial(self._check, told, code)

    def fault_acts(self, story: FaultStory) -> Iterator[Act]:
        """Give the acts of one fault."""
        for number, episode in enumerate(story.episodes):
            opening = self._open if number == 0 else self._reopen
            yield self.calendar.at(episode.seen_at), FAULT, partial(opening, story, episode)
            for attempt in episode.attempts:
                yield self.calendar.at(attempt.at), FAULT, partial(self._try, story, attempt)
            if episode.closed_at is not None:
                yield self.calendar.at(episode.closed_at), FAULT, partial(self._close, story, episode)

    def _who(self, event: Any) -> dict[str, Any]:
        doer = self.cast[event.by]
        return {
            "done_by": doer,
            "second_person": self.cast[event.second],
            "entered_by": doer,
            "at": self.calendar.at(event.at),
        }

    def _join(self, event: JoiningStory, code: str) -> None:
        act = lift_wire if event.kind == "lifted" else partial(join_wire, kind=event.kind)
        act(interconnect=self.links[code], remarks=event.remarks, **self._who(event))

    def _ring(self, event: RingOutStory, code: str) -> None:
        ring_out(
            interconnect=self.links[code],
            resistance_ohm=OPEN_OHM if event.resistance_ohm is None else event.resistance_ohm,
            to_chassis_ohm=event.to_chassis_ohm,
            both_labels_read=event.both_labels_read,
            test_v=event.test_v,
            remarks=event.remarks,
            **self._who(event),
        )

    def _check(self, event: SignalCheckStory, code: str) -> None:
        ends = [
            EndFigures(file.end, file.stage, capture=file.content, name=file.name, channel=file.channel)
            for file in capture_files(event)
        ] or [
            EndFigures(end, stage, figures=_figures(figures))
            for (end, stage), figures in figures_by_hand(event).items()
        ]
        check = record_signal_check(
            interconnect=self.links[code],
            ends=ends,
            instrument=self.instruments[event.instrument],
            probe_factor=event.probe_factor,
            probe_compensated=True,
            reference=event.reference,
            loads_joined=event.loads_joined,
            parts_changed=event.parts_changed,
            ht_v=event.ht_v,
            bias_v=event.bias_v,
            heater_v=event.heater_v,
            temperature_c=event.temperature_c,
            also_running=event.also_running,
            remarks=event.remarks,
            **self._who(event),
        )
        if code == event.interconnect:
            self.checks[event.number] = check

    def _open(self, story: FaultStory, episode: EpisodeStory) -> None:
        seen_by = self.cast[episode.seen_by]
        self.faults[story.number] = open_fault(
            interconnect=self.links[story.interconnect],
            symptom=story.symptom,
            how_often=story.how_often,
            conditions=story.conditions,
            seen_by=seen_by,
            entered_by=seen_by,
            at=self.calendar.at(episode.seen_at),
            from_check=self.checks.get(story.from_check) if story.from_check else None,
        )

    def _reopen(self, story: FaultStory, episode: EpisodeStory) -> None:
        seen_by = self.cast[episode.seen_by]
        reopen_fault(
            fault=self.faults[story.number],
            what_was_seen=episode.what_was_seen,
            seen_by=seen_by,
            entered_by=seen_by,
            at=self.calendar.at(episode.seen_at),
        )

    def _try(self, story: FaultStory, attempt: AttemptStory) -> None:
        doer = self.cast[attempt.by]
        log_attempt(
            fault=self.faults[story.number],
            tried=attempt.tried,
            read=attempt.read,
            minutes=attempt.minutes,
            done_by=doer,
            entered_by=doer,
            at=self.calendar.at(attempt.at),
        )

    def _close(self, story: FaultStory, episode: EpisodeStory) -> None:
        proof = self.checks.get(episode.proof_check) if episode.proof_check else None
        close_fault(
            fault=self.faults[story.number],
            outcome=episode.outcome,
            cause=episode.cause,
            cure=episode.cure,
            by=self.cast[str(episode.closed_by)],
            proof=proof,
            at=self.calendar.at(episode.closed_at) if episode.closed_at else None,
        )


def _figures(figures: Figures) -> dict[str, float]:
    return {
        Quantity.AMPLITUDE.value: figures.amplitude_v,
        Quantity.PULSE_DURATION.value: figures.pulse_duration_s,
        Quantity.RISE_TIME.value: figures.rise_time_s,
        Quantity.FALL_TIME.value: figures.fall_time_s,
        Quantity.OVERSHOOT.value: figures.overshoot,
    }
