"""The history of chassis: built, received, checked cold, tested on the bench, fitted."""

from collections.abc import Collection
from datetime import datetime

from django.utils import timezone

from restoration.commissioning.facts.history import (
    CONCESSION,
    Histories,
    day,
    judged_rows,
    only,
)
from restoration.engineering.standing import Change, Evidence, State
from restoration.machine.models import Fitting
from restoration.proving.models import BenchTest, ColdCheck, ReceivingCheck
from restoration.workshop.models import Step, StepKind

BUILT_STATE = {
    StepKind.IN_HAND.value: State.IN_HAND,
    StepKind.STUCK.value: State.IN_HAND,
    StepKind.GOING_ON.value: State.IN_HAND,
    StepKind.BUILT.value: State.PASSED,
    StepKind.SENT_BACK.value: State.IN_HAND,
}
REWORK_REOPENS = frozenset({"received", "cold-checked", "bench-tested"})


def chassis_histories(ids: Collection[int] | None = None, *, now: datetime | None = None) -> Histories:
    """Gather what is recorded of these chassis (or of all), in a fixed number of queries."""
    histories, now = Histories(), now or timezone.now()
    _add_steps(histories, ids)
    for gate, kind, model, more in (
        ("received", "receiving check", ReceivingCheck, ()),
        ("cold-checked", "cold check", ColdCheck, ()),
        ("bench-tested", "bench test", BenchTest, CONCESSION),
    ):
        for row in judged_rows(model, "chassis_id", ids, *more):
            histories.add_judged(row["chassis_id"], gate, kind, row, now)
    _add_fittings(histories, ids)
    return histories.settled()


def _add_steps(histories: Histories, ids: Collection[int] | None) -> None:
    rows = only(Step.objects.all(), "chassis_id", ids).values_list(
        "pk", "chassis_id", "kind", "done_at", "done_by__display_name", "text"
    )
    for number, chassis, kind, at, who, text in rows.order_by():
        words = f"{kind.capitalize()} on {day(at)}, said by {who}{f': {text}' if text else '.'}"
        history = histories[chassis]
        if kind == StepKind.ALLOTTED:
            history.evidence.append(Evidence("allotted", at, f"step {number}", State.PASSED, words, number=number))
        elif kind in BUILT_STATE:
            history.evidence.append(Evidence("built", at, f"step {number}", BUILT_STATE[kind], words, number=number))
        if kind == StepKind.SENT_BACK:
            history.changes.append(Change(REWORK_REOPENS, at, words))


def _add_fittings(histories: Histories, ids: Collection[int] | None) -> None:
    rows = only(Fitting.objects.all(), "chassis_id", ids).values_list(
        "pk",
        "chassis_id",
        "slot__code",
        "fitted_at",
        "fitted_by__display_name",
        "removed_at",
        "removed_by__display_name",
        "removed_why",
    )
    for number, chassis, slot, at, who, removed_at, remover, why in rows.order_by():
        said = f"Fitted in slot {slot} by {who} on {day(at)}."
        evidence = histories[chassis].evidence
        evidence.append(Evidence("fitted", at, f"fitting {number}", State.PASSED, said, number=2 * number))
        if removed_at:
            out = f"Withdrawn from slot {slot} by {remover} on {day(removed_at)}{f': {why}' if why else '.'}"
            name = f"withdrawal {number}"
            evidence.append(Evidence("fitted", removed_at, name, State.WITHDRAWN, out, number=2 * number + 1))
