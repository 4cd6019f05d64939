"""When a pulse arrives at the end of a path, at the earliest and the latest, and how much of its slot is left."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from restoration.engineering.plots import format_si
from restoration.engineering.reach import refuse_out_of_reach
from restoration.engineering.refusals import refuse_below_zero, refuse_not_above_zero, refuse_not_finite, refuse_unless


@dataclass(frozen=True)
class Step:
    """One stage or wire of a path: its delay, how much later it may be and how much earlier.

    Raises ValueError for figures below zero or not finite, and for a step that could end before it began.

    >>> Step("V4 follower", 80e-9, minus_s=90e-9)
    Traceback (most recent call last):
    ValueError: “V4 follower” takes 8e-08 s and cannot be earlier by 9e-08 s: it would end before it began.
    """

    name: str
    delay_s: float
    plus_s: float = 0.0
    minus_s: float = 0.0

    def __post_init__(self) -> None:
        refuse_below_zero(delay_s=self.delay_s, plus_s=self.plus_s, minus_s=self.minus_s)
        refuse_out_of_reach(delay_s=self.delay_s, plus_s=self.plus_s, minus_s=self.minus_s)
        refuse_unless(
            self.minus_s <= self.delay_s,
            f"“{self.name}” takes {self.delay_s:g} s and cannot be earlier by {self.minus_s:g} s: it would end before "
            "it began.",
        )


@dataclass(frozen=True)
class Budget:
    """Arrival at the end of a path: nominal, worst case and likely, and the slack against the slot.

    `worst_s` and `earliest_s` have every step at its bad end; `root_sum_square_s` and `earliest_rss_s` take the steps
    to err independently. Slack below zero is a pulse that comes too late. `worst_step` wanders furthest.
    """

    nominal_s: float
    worst_s: float
    earliest_s: float
    root_sum_square_s: float
    earliest_rss_s: float
    slot_s: float
    slack_worst_s: float
    slack_rss_s: float
    slack_early_s: float
    worst_step: str

    @property
    def words(self) -> str:
        """Whether the path keeps its slot, and whether its pulse may come too soon, in sentences."""
        if self.slack_early_s >= 0.0:
            return self._slot_words
        early = f"The pulse may come {format_si(-self.slack_early_s, 's')} before it is awaited."
        return early if self.slack_worst_s >= 0.0 else f"{self._slot_words} {early}"

    @property
    def _slot_words(self) -> str:
        slot, late = format_si(self.slot_s, "s"), format_si(-self.slack_worst_s, "s")
        if self.slack_worst_s >= 0.0:
            spare = format_si(self.slack_worst_s, "s")
            return f"The path keeps its slot of {slot} even at worst, with {spare} to spare."
        if self.slack_rss_s >= 0.0:
            return (
                f"The path keeps its slot of {slot} as a rule; at worst it is {late} late, mostly by {self.worst_step}."
            )
        return f"The path does not keep its slot of {slot}: at worst it is {late} late, mostly by {self.worst_step}."


def budget(steps: Iterable[Step], slot_s: float, *, not_before_s: float = 0.0) -> Budget:
    """Add up a path: nominal, worst case and root-sum-square arrival, and the slack in its slot.

    Formula: nominal Σ t; worst Σ t + Σ plus; earliest Σ t − Σ minus; likely Σ t + √Σ plus² and Σ t − √Σ minus²; slack
    slot − arrival, and earliest − not_before for a pulse that must not come too soon. Source: common practice, no
    source: decide on the worst case for a few stages, as valves of one batch age alike. Valid for steps whose delay
    does not hang on another's (an edge that arrives slow makes the next stage late: put that in its plus); root-sum-
    square for independent steps, and better the more there are. Units: s. Errors: ValueError for no steps, a slot not
    above zero or not finite, a `not_before_s` below zero or beyond the slot.

    >>> path = [Step("driver", 120e-9, 30e-9, 20e-9), Step("wire", 20e-9, 2e-9), Step("gate", 150e-9, 40e-9, 30e-9)]
    >>> found = budget(path, 350e-9)
    >>> [round(1e9 * time_s) for time_s in (found.nominal_s, found.worst_s, found.earliest_s, found.root_sum_square_s)]
    [290, 362, 240, 340]
    >>> round(1e9 * found.slack_worst_s), round(1e9 * found.slack_rss_s), found.worst_step
    (-12, 10, 'gate')
    """
    path = tuple(steps)
    refuse_unless(bool(path), "The path has no steps; give one or more.")
    refuse_not_above_zero(slot_s=slot_s)
    refuse_not_finite(slot_s=slot_s)
    refuse_out_of_reach(slot_s=slot_s)
    refuse_unless(
        0.0 <= not_before_s <= slot_s,
        f"A pulse is awaited from a time between 0 and its slot of {slot_s:g} s; {not_before_s:g} s was given.",
    )
    nominal_s = math.fsum(step.delay_s for step in path)
    worst_s = math.fsum(part for step in path for part in (step.delay_s, step.plus_s))
    earliest_s = math.fsum(part for step in path for part in (step.delay_s, -step.minus_s))
    likely_s = min(nominal_s + math.hypot(*(step.plus_s for step in path)), worst_s)
    return Budget(
        nominal_s=nominal_s,
        worst_s=worst_s,
        earliest_s=earliest_s,
        root_sum_square_s=likely_s,
        earliest_rss_s=max(nominal_s - math.hypot(*(step.minus_s for step in path)), earliest_s),
        slot_s=slot_s,
        slack_worst_s=slot_s - worst_s,
        slack_rss_s=slot_s - likely_s,
        slack_early_s=earliest_s - not_before_s,
        worst_step=max(path, key=lambda step: step.plus_s + step.minus_s).name,
    )
