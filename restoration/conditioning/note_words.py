"""What a modification note says: filled in for its writer, drawn for whoever fits it, laid beside what came of it."""

from collections.abc import Sequence
from dataclasses import dataclass

from restoration.conditioning.choosing import Chosen
from restoration.conditioning.known import KnownCase
from restoration.conditioning.models import NoteClass, Prediction
from restoration.conditioning.outcomes import PredictionOutcome
from restoration.conditioning.page import LinkInPlace
from restoration.engineering.in_place import Arrangement, Fitted
from restoration.machine.models import Interconnect, Terminal
from restoration.machine.models.limits import Quantity
from restoration.proving.models.signal_checks import End
from restoration.proving.quantities import order_of, reads
from restoration.proving.wording import unbroken

AT_SOURCE = ("source_shunt_ohm", "series_ohm")
AT_LOAD = ("attenuator_ohm", "attenuator_f", "shunt_ohm", "shunt_coupling_f")
TO_EARTH = ("source_shunt_ohm", "shunt_ohm", "shunt_coupling_f")
ACROSS = "attenuator_f"


@dataclass(frozen=True)
class ChainStep:
    """One thing on the way from source to load: an end, a part, or the wire; `symbol` says how it is drawn."""

    symbol: str
    words: str
    says: str = ""


def chain_of(link: Interconnect, arrangement: Arrangement) -> list[ChainStep]:
    """Source, parts, wire and load in the order in which they are met, as the drawing shows them."""
    parts = {part.role: part for part in arrangement.parts()}
    wire = ", ".join(filter(None, (link.colour, f"{link.length_m:g} m" if link.length_m else "", link.wire)))
    return [
        _end(link.source, "source"),
        *(_step(parts[role]) for role in AT_SOURCE if role in parts),
        ChainStep("wire", wire or "wire", f"link {link.code}"),
        *(_step(parts[role]) for role in AT_LOAD if role in parts),
        _end(link.load, "load"),
    ]


def _end(terminal: Terminal, which: str) -> ChainStep:
    return ChainStep("end", f"{terminal.slot.code} terminal {terminal.code}", which)


def _step(part: Fitted) -> ChainStep:
    way = "earth" if part.role in TO_EARTH else "across" if part.role == ACROSS else "series"
    value, _, place = part.words.partition(" ")
    return ChainStep(f"{part.kind}-{way}", value, place)


def filled_in(known: KnownCase, choice: Chosen, page: LinkInPlace | None) -> dict[str, str]:
    """What stands in the form of a note when it is opened: where, how it comes off, and why."""
    link = known.link
    after, before = choice.arrangement, known.arrangement
    changed = [
        part for part in (*after.parts(), *before.parts()) if (part in after.parts()) != (part in before.parts())
    ]
    return {
        "kind": kind_of(before, after),
        "place": place_of(link, changed),
        "undone_how": undone_by(changed, before, after),
        "why": _why(page),
    }


def kind_of(before: Arrangement, after: Arrangement) -> NoteClass:
    """How deep it goes: the same parts by another way, other values in the same places, or parts added."""
    if before == after:
        return NoteClass.REROUTED
    places = [{part.role for part in each.parts()} for each in (before, after)]
    return NoteClass.VALUE if places[0] and places[0] == places[1] else NoteClass.ADDED


def place_of(link: Interconnect, changed: Sequence[Fitted]) -> str:
    """Where parts sit: at the terminal of the source, of the load, or both."""
    ends = [
        f"at terminal {terminal.code} of slot {terminal.slot.code}"
        for terminal, roles in ((link.source, AT_SOURCE), (link.load, AT_LOAD))
        if any(part.role in roles for part in changed)
    ]
    return " and ".join(ends)


def undone_by(changed: Sequence[Fitted], before: Arrangement, after: Arrangement) -> str:
    """How the link comes back to what it was, in words for whoever does it."""
    if not changed:
        return ""
    added = [part for part in changed if part in after.parts()]
    removed = [part for part in changed if part in before.parts()]
    steps = []
    if any(part.role in TO_EARTH for part in added):
        steps.append("unsolder the part that goes to earth")
    if any(part.role not in TO_EARTH for part in added):
        steps.append("take out the part in series and solder the wire to its terminal again")
    steps += [f"put back {part.words}" for part in removed]
    words = "; ".join(steps)
    return f"{words[0].upper()}{words[1:]}. No hole is drilled and nothing original is cut."


def _why(page: LinkInPlace | None) -> str:
    if page is None or not page.missed:
        return ""
    read = page.known.measured.get((End.LOAD, Quantity.AMPLITUDE))
    found = f"{reads(Quantity.AMPLITUDE, read.value)} was {page.known.rows.stage} at the load. " if read else ""
    missed = ", ".join(dict.fromkeys(row.get_quantity_display() for row in page.missed))
    return f"{found}Outside of its limits: {missed}."


@dataclass(frozen=True)
class ForetoldRow:
    """A predicted figure, its interval, what was measured afterwards, and whether it lies inside."""

    end: str
    name: str
    predicted: str
    interval: str
    measured: str = ""
    mark: str = ""

    @property
    def says(self) -> str:
        """The mark in words."""
        return {"passed": "inside its interval", "failed": "outside its interval"}.get(self.mark, "")


def rows_of_prediction(prediction: Prediction | None, outcome: PredictionOutcome | None) -> list[ForetoldRow]:
    """A kept prediction as a table, beside what was measured."""
    if prediction is None:
        return []
    figures = {(row.end, row.quantity): row for row in prediction.figures.all()}
    rows = []
    for end in (End.LOAD, End.SOURCE):
        for quantity in order_of(name for where, name in figures if where == end):
            row = figures[end, quantity]
            came = outcome.figure(end, quantity) if outcome else None
            low, high = (unbroken(reads(quantity, value)) for value in (row.low, row.high))
            measured = unbroken(reads(quantity, came.measured)) if came else ""
            mark = ("passed" if came.is_inside else "failed") if came else ""
            name = Quantity(quantity).label
            rows.append(
                ForetoldRow(end, name, unbroken(reads(quantity, row.value)), f"{low} to {high}", measured, mark)
            )
    return rows
