"""Writing down what the terminals of a design drive with, and what they ask of whoever drives them."""

import math
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from hashlib import sha256

from django.db import transaction

from restoration.common.versions import EditedMeanwhile
from restoration.logbook.services import write_line
from restoration.machine.ends import END_FIGURES, EndFigure
from restoration.machine.figures import figure_in_words
from restoration.machine.models import Basis, Design, TerminalFigures
from restoration.machine.services.saving import refuse, stored, who
from restoration.people.models import Person


@dataclass(frozen=True)
class EndGiven:
    """What is known of one terminal, by its mark on the drawing, in SI units."""

    terminal: str
    drive_ohm: float | None = None
    drive_most_a: float | None = None
    load_ohm: float | None = None
    load_f: float | None = None
    grid_stopper_ohm: float | None = None
    basis: str = Basis.DRAWING
    remarks: str = ""


@transaction.atomic
def set_terminal_figures(
    *, design: Design, rows: Sequence[EndGiven], by: Person | None, seen: str = ""
) -> list[TerminalFigures]:
    """Write down, in place of what stood there, all that is known of the terminals of a design as ends of wires.

    `seen` is the stamp of what the writer saw; refused if someone else wrote them down meanwhile.
    """
    _refuse_twice(rows)
    for row in rows:
        _refuse_nonsense(row)
    design = Design.objects.select_for_update(no_key=True).get(pk=design.pk)
    if seen and seen != stamp_of(design):
        raise EditedMeanwhile(design)
    if not rows and not design.terminal_figures.exists():
        raise refuse(f"Nothing is said of any terminal of drawing {design.number} yet, so there is nothing to store.")
    told = {"before": [asdict(row) for row in ends_of(design)], "now": [asdict(row) for row in rows]}
    design.terminal_figures.all().delete()
    written = [stored(TerminalFigures(design=design, **asdict(row))) for row in rows]
    write_line(
        act="terminal figures set",
        sentence=_sentence(design, rows, by),
        by=by,
        subject_kind="design",
        subject_code=design.number,
        details=told,
    )
    return written


def ends_of(design: Design) -> list[EndGiven]:
    """What is written down of a design's terminals, as it was given."""
    return [
        EndGiven(
            row.terminal, **{name: getattr(row, name) for name in END_FIGURES}, basis=row.basis, remarks=row.remarks
        )
        for row in design.terminal_figures.all()
    ]


def stamp_of(design: Design) -> str:
    """A mark of all that is written down of a design's terminals; it changes with any of it."""
    return sha256(repr(ends_of(design)).encode()).hexdigest()[:16]


def _refuse_twice(rows: Sequence[EndGiven]) -> None:
    seen: set[str] = set()
    for row in rows:
        if row.terminal in seen:
            raise refuse(f"Terminal {row.terminal} stands in two rows; write all that is known of it in one.")
        seen.add(row.terminal)


def _refuse_nonsense(row: EndGiven) -> None:
    if all(getattr(row, name) is None for name in END_FIGURES):
        raise refuse(
            f"Nothing is said of terminal {row.terminal}: give what it drives with or what it loads with, "
            "or leave its row out."
        )
    for name, figure in END_FIGURES.items():
        given = getattr(row, name)
        if given is not None and not _can_be(given, figure):
            raise refuse(
                f"The {figure.words} of terminal {row.terminal} was given as {_said(given, figure)}; "
                f"it is {'zero or more' if figure.may_be_nothing else 'above zero'}, and finite."
            )


def _can_be(given: float, figure: EndFigure) -> bool:
    return math.isfinite(given) and (given >= 0 if figure.may_be_nothing else given > 0)


def _said(given: float, figure: EndFigure) -> str:
    return figure_in_words(given, figure.unit) if math.isfinite(given) else str(given)


def _sentence(design: Design, rows: Sequence[EndGiven], by: Person | None) -> str:
    if not rows:
        return f"{who(by)} took out what was written of the terminals of drawing {design.number}."
    marks = ", ".join(row.terminal for row in rows)
    one = len(rows) == 1
    which = f"terminal {marks} of drawing {design.number}" if one else f"the terminals of drawing {design.number}"
    says = f"{who(by)} wrote down what {which} {'drives and loads' if one else 'drive and load'}"
    return f"{says}." if one else f"{says}: {marks}."
