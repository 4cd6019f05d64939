"""The wires of a list as interconnects: their codes, and what they add to or change in the records."""

from __future__ import annotations

from collections.abc import Iterator, Sequence, Set
from dataclasses import dataclass
from operator import itemgetter
from typing import NamedTuple

from restoration.engineering.wire_list.codes import LINK_CODE_LENGTH, form_code, form_codes
from restoration.engineering.wire_list.known import KnownWiring, LinkFacts
from restoration.engineering.wire_list.refusals import Refusal, shown
from restoration.engineering.wire_list.wires import WireColumns, WireRow

ENDS = ("from_slot", "from_terminal", "to_slot", "to_terminal")
STATED = ("signal", "wire", "colour", "length_m", "loom", "critical", "remarks")


class LinkChange(NamedTuple):
    """An interconnect as it stands and as the list has it, with the names of what differs."""

    old: LinkFacts
    new: LinkFacts
    fields: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LinkPlan:
    """Every wire of the list as an interconnect, and what is new or different about them.

    ``final`` runs beside the rows and holds each interconnect as it will be.
    """

    final: Sequence[LinkFacts]
    to_add: Sequence[LinkFacts]
    to_change: Sequence[LinkChange]
    unchanged: int


def turned_as_known(rows: Sequence[WireRow], known: KnownWiring) -> list[WireRow]:
    """Turn round each wire that the records hold the other way; for lists that do not state a direction.

    >>> row = WireRow(2, "K1", "", "", "A", "1", "", "B", "2", "", "", None, "", None, "")
    >>> known = KnownWiring(links={"K1": LinkFacts("K1", "", "B", "2", "A", "1")})
    >>> turned_as_known([row], known)[0].from_slot
    'B'
    """
    return [row.turned() if _is_turned(row, known) else row for row in rows]


def _is_turned(row: WireRow, known: KnownWiring) -> bool:
    if row.link:
        old = known.links.get(row.link)
        return old is not None and old.source == row.load and old.load == row.source
    as_named, other_way = form_code(*row.source, *row.load), form_code(*row.load, *row.source)
    return as_named not in known.links and other_way in known.links


def coded(wires: WireColumns) -> Sequence[str]:
    """The link code of each wire: the one it gives, or one formed from its ends.

    >>> row = WireRow(2, "", "", "", "A", "1", "", "B", "2", "", "", None, "", None, "")
    >>> from restoration.engineering.wire_list.wires import in_columns
    >>> coded(in_columns([row, row._replace(link="K1")]))
    ['A:1 > B:2', 'K1']
    """
    if all(wires.link):
        return wires.link
    ends = zip(wires.from_slot, wires.from_terminal, wires.to_slot, wires.to_terminal, strict=True)
    bare = (end for link, end in zip(wires.link, ends, strict=True) if not link)
    formed = iter(form_codes(bare, taken=set(wires.link)))
    return [link or next(formed) for link in wires.link]


def codes_refused(lines: Sequence[int], codes: Sequence[str]) -> Iterator[Refusal]:
    """Refuse a link code named twice, and a formed one that is longer than the records hold."""
    if len(set(codes)) == len(codes) and max(map(len, codes), default=0) <= LINK_CODE_LENGTH:
        return
    first: dict[str, int] = {}
    for line, code in zip(lines, codes, strict=True):
        before = first.setdefault(code, line)
        if before != line:
            reason = (
                f"The link code “{shown(code)}” is already named on line {before}; each link is named once, or once "
                "from each end in a list read from both ends."
            )
            yield Refusal(line, "link", shown(code), reason)
        if len(code) > LINK_CODE_LENGTH:
            reason = f"The code formed from the ends has {len(code)} characters; give the link a code of its own."
            yield Refusal(line, "link", shown(code), reason)


def link_plan(wires: WireColumns, codes: Sequence[str], columns: Set[str], known: KnownWiring) -> LinkPlan:
    """Compare each wire with the records: new, changed, or as it was.

    A column that the list has overwrites, blanks too; a column that it lacks leaves the record
    alone. The ends always count.
    """
    facts = _facts(wires, codes)
    if not known.links:
        return LinkPlan(facts, facts, (), 0)
    stated = (*ENDS, *(name for name in STATED if name in columns))
    pick = itemgetter(*(LinkFacts._fields.index(name) for name in stated))
    added, changed, unchanged = [], [], 0
    for place, new in enumerate(facts):
        old = known.links.get(new.code)
        if old is None:
            added.append(new)
        elif old == new:
            unchanged += 1
        elif pick(old) == pick(new):
            unchanged += 1
            facts[place] = old
        else:
            change = _change(old, new, stated)
            facts[place] = change.new
            if change.fields:
                changed.append(change)
            else:
                unchanged += 1
    return LinkPlan(facts, added, changed, unchanged)


def _facts(wires: WireColumns, codes: Sequence[str]) -> list[LinkFacts]:
    columns = (codes, *(getattr(wires, name) for name in LinkFacts._fields[1:] if name not in ("critical", "remarks")))
    critical = [said is True for said in wires.critical]
    return list(map(LinkFacts._make, zip(*columns, critical, wires.remarks, strict=True)))


def _change(old: LinkFacts, new: LinkFacts, stated: Sequence[str]) -> LinkChange:
    values = {name: getattr(new, name) for name in stated if _plain(getattr(old, name)) != getattr(new, name)}
    return LinkChange(old, old._replace(**values), tuple(values))


def _plain(value: object) -> object:
    """A recorded text with its line ends as a wire list gives them back."""
    return value.replace("\r\n", "\n").replace("\r", "\n") if isinstance(value, str) else value
