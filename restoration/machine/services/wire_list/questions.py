"""What a wire list makes one ask the drawings keeper; each thing is asked once."""

import hashlib
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from restoration.engineering.wire_list.codes import escaped
from restoration.engineering.wire_list.outcome import ImportPlan, NamedLink
from restoration.engineering.wire_list.queries import TerminalSignals
from restoration.machine.models import Query
from restoration.people.models import Person

LINKS_NAMED = 10  # of a terminal with many links; the rest are counted


class Question(NamedTuple):
    """A query not raised yet: its key, what it is about, and its words."""

    key: str
    subject_kind: str
    subject_code: str
    text: str


def new_questions(plan: ImportPlan) -> tuple[Question, ...]:
    """List what the plan makes one ask and what was not asked before."""
    asked = {question.key: question for question in _questions(plan)}
    if not asked:
        return ()
    known = set(Query.objects.exclude(key=None).values_list("key", flat=True))
    return tuple(question for key, question in asked.items() if key not in known)


def raise_questions(questions: Sequence[Question], *, by: Person | None) -> None:
    """Put the questions on the list of queries, all at once."""
    Query.objects.bulk_create(
        (
            Query(
                key=question.key,
                subject_kind=question.subject_kind,
                subject_code=question.subject_code,
                question=question.text,
                raised_by=by,
            )
            for question in questions
        ),
        batch_size=1000,
    )


def _questions(plan: ImportPlan) -> Iterator[Question]:
    yield from map(_about_two_signals, plan.two_signals)
    yield from map(_about_itself, plan.self_links)


def _about_two_signals(found: TerminalSignals) -> Question:
    place = f"{escaped(found.slot)}:{escaped(found.terminal)}"
    signals = hashlib.sha256("\n".join(found.signals).encode()).hexdigest()[:16]
    return Question(
        key=f"two signals at {place}, {signals}",
        subject_kind="slot",
        subject_code=found.slot,
        text=(
            f"Terminal {found.slot}:{found.terminal} carries {len(found.signals)} signals: "
            f"{_listed([f'“{signal}”' for signal in found.signals])}. "
            f"The links are {_listed(sorted(found.links))}. Which of them is right?"
        ),
    )


def _about_itself(link: NamedLink) -> Question:
    return Question(
        key=f"to itself: {link.link}",
        subject_kind="link",
        subject_code=link.link,
        text=(
            f"Link {link.link} runs from terminal {link.from_slot}:{link.from_terminal} to the same terminal. "
            "Where does it go?"
        ),
    )


def _listed(names: Sequence[str]) -> str:
    shown = ", ".join(names[:LINKS_NAMED])
    more = len(names) - LINKS_NAMED
    return f"{shown} and {more:,} more" if more > 0 else shown
