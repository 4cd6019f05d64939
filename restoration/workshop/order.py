"""Which step of a chassis may follow which: one table, asked by the acts and by the pages."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Protocol

from restoration.workshop.models import StepKind

K = StepKind
NOTHING_YET = ""

# What may come next, by where the chassis stands. A note may be written at any time.
MAY_FOLLOW: dict[str, frozenset[str]] = {
    NOTHING_YET: frozenset({K.ALLOTTED, K.RECEIVED}),  # a chassis may also come finished, from elsewhere
    K.ALLOTTED: frozenset({K.ALLOTTED, K.IN_HAND, K.STUCK, K.GOING_ON}),
    K.IN_HAND: frozenset({K.ALLOTTED, K.BUILT, K.STUCK, K.GOING_ON}),
    K.BUILT: frozenset({K.IN_HAND, K.HANDED_OVER, K.STUCK, K.GOING_ON}),
    K.HANDED_OVER: frozenset({K.RECEIVED, K.SENT_BACK}),
    K.RECEIVED: frozenset({K.SENT_BACK}),
    K.SENT_BACK: frozenset({K.ALLOTTED, K.IN_HAND, K.STUCK, K.GOING_ON}),
}
STAGES = frozenset(MAY_FOLLOW)
TRACK = (K.ALLOTTED, K.IN_HAND, K.BUILT, K.HANDED_OVER, K.RECEIVED)

# How a stage, and a wish, read in a refusal: "It is not yet in hand, so it cannot be built."
STANDS = {
    NOTHING_YET: "is not yet allotted to anyone",
    K.ALLOTTED: "is allotted but not yet in hand",
    K.IN_HAND: "is in hand but not yet built",
    K.BUILT: "is built but not yet handed over",
    K.HANDED_OVER: "is handed over already",
    K.RECEIVED: "is on site already",
    K.SENT_BACK: "was sent back for rework and is not yet in hand again",
}
CANNOT = {
    K.ALLOTTED: "cannot be allotted",
    K.IN_HAND: "cannot be taken in hand",
    K.STUCK: "cannot be stuck",
    K.GOING_ON: "cannot be got on with",
    K.BUILT: "cannot be called built",
    K.HANDED_OVER: "cannot be handed over",
    K.RECEIVED: "cannot be received",
    K.SENT_BACK: "cannot be sent back",
}


class HasKind(Protocol):
    """A step, as far as the order of steps goes."""

    kind: str


def stage_of(steps: Iterable[HasKind]) -> str:
    """Say where a chassis stands on its way: the last of its steps that moved it, or nothing yet."""
    stage = NOTHING_YET
    for step in steps:
        stage = step.kind if step.kind in STAGES else stage
    return stage


def is_stuck(steps: Iterable[HasKind]) -> bool:
    """Say whether its builder is stuck: they said so, and nothing has moved since."""
    stuck = False
    for step in steps:
        if step.kind != K.NOTE:
            stuck = step.kind == K.STUCK
    return stuck


def may_follow(steps: Iterable[HasKind], kind: str) -> bool:
    """Say whether a step of this kind may come after these."""
    known = list(steps)
    if kind == K.GOING_ON:
        return is_stuck(known)
    return kind == K.NOTE or kind in MAY_FOLLOW[stage_of(known)]


def why_not(serial: str, steps: Iterable[HasKind], kind: str) -> str:
    """Say in one sentence why a step of this kind may not come after these; nothing where it may."""
    known = list(steps)
    if may_follow(known, kind):
        return ""
    stage = stage_of(known)
    if kind == K.GOING_ON:
        return f"Nobody is recorded as stuck with chassis {serial}, so there is nothing to get on with again."
    if kind == stage:
        return f"Chassis {serial} is recorded as {K(stage).label} already."
    return f"Chassis {serial} {STANDS[stage]}, so it {CANNOT[K(kind)]}."


@dataclass(frozen=True)
class TrackPoint:
    """One stage of the way as it is drawn: its word, its mark, and whether the chassis stands there."""

    word: str
    standing: str
    is_here: bool


def track(steps: Iterable[HasKind]) -> tuple[TrackPoint, ...]:
    """Draw the way from allotted to on site: what lies behind is passed, the stage it stands at is in hand."""
    known = list(steps)
    stage = stage_of(known)
    here = K.ALLOTTED if stage == K.SENT_BACK else stage
    reached = TRACK.index(K(here)) if here else -1
    points = []
    for place, kind in enumerate(TRACK):
        done = place <= reached and not (place == reached and kind == K.IN_HAND)
        standing = "passed" if done else "in hand" if place == reached else "not done"
        points.append(TrackPoint(kind.label, standing, place == reached))
    return tuple(points)
