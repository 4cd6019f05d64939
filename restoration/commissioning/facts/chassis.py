"""The history of chassis: built, received, checked cold, tested on the bench, fitted, and signed for with power on."""

from collections.abc import Collection, Iterator
from datetime import datetime

from restoration.commissioning.facts.doubts import add_doubts, add_instrument_doubts
from restoration.commissioning.facts.fittings import FittingRow, fitting_rows, moves_of
from restoration.commissioning.facts.history import Histories
from restoration.commissioning.facts.judged import CONCESSION, add_judged, add_signed
from restoration.commissioning.facts.known import Known
from restoration.commissioning.facts.rows import PART, Part, moment_kept, parts_of, stored_moment
from restoration.engineering.doubt import Kind, Reach
from restoration.engineering.standing import Evidence, State
from restoration.machine.models import Chassis, Fitting
from restoration.proving.models import BenchTest, ColdCheck, ReceivingCheck
from restoration.workshop.models import Step, StepKind

ITEM = "chassis"
BUILT_STATE = {
    StepKind.IN_HAND.value: State.IN_HAND,
    StepKind.STUCK.value: State.IN_HAND,
    StepKind.GOING_ON.value: State.IN_HAND,
    StepKind.BUILT.value: State.PASSED,
    StepKind.SENT_BACK.value: State.IN_HAND,
}


def chassis_histories(ids: Collection[int] | None = None, *, now: datetime | None = None) -> Histories:
    """Gather what is recorded of these chassis (or of all), in a fixed number of queries."""
    return _gathered(Part(ids), Known.at(now))


def all_chassis_histories(*, now: datetime | None = None) -> Iterator[tuple[Part, Histories]]:
    """Gather what is recorded of every chassis, part by part, so that memory does not grow with the machine."""
    known = Known.at(now)
    for part in parts_of(Chassis.objects.values_list("pk", flat=True).order_by("pk"), PART):
        yield part, _gathered(part, known)


def _gathered(part: Part, known: Known) -> Histories:
    histories = Histories()
    _add_steps(histories, known, part)
    add_judged(histories, known, part, ITEM, "received", "receiving check", ReceivingCheck)
    add_judged(histories, known, part, ITEM, "cold-checked", "cold check", ColdCheck)
    add_judged(histories, known, part, ITEM, "bench-tested", "bench test", BenchTest, *CONCESSION)
    _add_fittings(histories, known, part)
    add_signed(histories, known, part, ITEM)
    add_doubts(histories, known, part, ITEM)
    add_instrument_doubts(histories, known, part, ITEM)
    return histories.settled()


def _add_steps(histories: Histories, known: Known, part: Part) -> None:
    sent_back = known.clause(Kind.SENT_BACK, Reach.CHASSIS)
    rows = part.of(Step.objects.all(), ITEM, ITEM).values_list(
        "pk", "chassis_id", "kind", stored_moment("done_at"), "done_by_id", "text"
    )
    for number, chassis, kind, kept, who, text in rows.order_by().iterator(chunk_size=2000):
        at = moment_kept(kept)
        words = f"{kind.capitalize()} on {known.days.of(at)}, said by {known.names[who]}{f': {text}' if text else '.'}"
        history = histories[chassis]
        if kind == StepKind.ALLOTTED:
            history.evidence.append(Evidence("allotted", at, f"step {number}", State.PASSED, words, number=number))
        elif kind in BUILT_STATE:
            history.evidence.append(Evidence("built", at, f"step {number}", BUILT_STATE[kind], words, number=number))
        if kind == StepKind.SENT_BACK:
            history.doubt(sent_back.change(at, words))


def _add_fittings(histories: Histories, known: Known, part: Part) -> None:
    for row in fitting_rows(part.of(Fitting.objects.all(), ITEM, ITEM)):
        history = histories[row.chassis]
        history.evidence += _evidence(row, known)
        for move in moves_of(row, known):
            history.doubt(known.clause(move.kind, Reach.CHASSIS).change(move.at, move.what))


def _evidence(row: FittingRow, known: Known) -> Iterator[Evidence]:
    said = f"Fitted in slot {row.code} by {known.names[row.fitted_by]} on {known.days.of(row.fitted_at)}."
    yield Evidence("fitted", row.fitted_at, f"fitting {row.pk}", State.PASSED, said, number=2 * row.pk)
    if row.removed_at:
        who, why = known.names[row.removed_by or 0], f": {row.removed_why}" if row.removed_why else "."
        out = f"Withdrawn from slot {row.code} by {who} on {known.days.of(row.removed_at)}{why}"
        yield Evidence("fitted", row.removed_at, f"withdrawal {row.pk}", State.WITHDRAWN, out, number=2 * row.pk + 1)
