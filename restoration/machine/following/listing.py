"""The rows of the list of a followed signal: slot, link, from, to, standing. Written at once, for there are many."""

from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe

from restoration.common.templatetags.look import LONG_CODE, shape_of
from restoration.machine.following.facts import LinkFacts
from restoration.machine.following.sheet import AnyPlate, Hop, ListRow, Plate, Sheet


def listed(sheet: Sheet) -> list[tuple[Hop, SafeString]]:
    """Each hop with its rows."""
    return [(hop, mark_safe("".join(_row(row, sheet) for row in hop.rows))) for hop in sheet.hops]  # noqa: S308


def _row(row: ListRow, sheet: Sheet) -> str:
    cells = _wire_cells(row, row.wire.link) if row.wire.link else _bundle_cells(row, sheet)
    back = f' <span class="quiet">{_ways_back(row)}</span>' if row.wire.back else ""
    return f'<tr><td class="head">{_plate(row.far)}{back}</td>{cells}</tr>'


def _ways_back(row: ListRow) -> str:
    """Say that a link closes a loop, without the code that stands before it."""
    if row.far is row.near:
        return "its own slot"
    return "in the same hop" if row.far.hop == row.near.hop else "reached before"


def _wire_cells(row: ListRow, link: LinkFacts) -> str:
    word, shape = shape_of(link.standing)
    state = (
        f'<span class="state st-{shape}"><svg class="mark s st-{shape}" aria-hidden="true">'
        f'<use href="#mark-{shape}"/></svg>{word}</span>'
    )
    signal = f", {escape(link.signal)}" if link.signal else ""
    return (
        f'<td data-label="by link"><div><a href="{escape(link.address)}">{_code(link.code)}</a>{signal}</div></td>'
        f'<td data-label="from"><div>{_code(row.source_code)} terminal {_code(link.source_terminal)}</div></td>'
        f'<td data-label="to"><div>{_code(row.load_code)} terminal {_code(link.load_terminal)}</div></td>'
        f'<td data-label="standing">{state}</td>'
    )


def _bundle_cells(row: ListRow, sheet: Sheet) -> str:
    wire = row.wire
    source, load = sheet.plates[wire.source], sheet.plates[wire.load]
    terminal = f" terminal {_code(wire.terminal)}" if wire.terminal else ""
    return (
        f'<td data-label="by link">{wire.count} link{"s" if wire.count > 1 else ""}</td>'
        f'<td data-label="from"><div>{_name(source)}{terminal}</div></td>'
        f'<td data-label="to"><div>{_name(load)}</div></td><td data-label="standing">each on its own page</td>'
    )


def _plate(plate: AnyPlate) -> str:
    address = plate.slot.address if isinstance(plate, Plate) else plate.opens
    return f'<a href="{escape(address)}">{_name(plate)}</a>'


def _name(plate: AnyPlate) -> str:
    return _code(plate.slot.code) if isinstance(plate, Plate) else escape(plate.words)


def _code(code: str) -> str:
    return f'<span class="code{" long" if len(code) > LONG_CODE else ""}">{escape(code)}</span>'
