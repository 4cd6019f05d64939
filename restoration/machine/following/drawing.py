"""Draws a sheet: plates with their ports and marks, square wires between them. SVG with classes, nothing inline."""

from collections import defaultdict
from collections.abc import Iterator

from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe

from restoration.common.templatetags.look import shape_of
from restoration.engineering.drawing import Box, Drawing, PlacedBox, Port, Route, Sizes, Wire, lay_out
from restoration.machine.following.facts import LinkFacts
from restoration.machine.following.sheet import DrawnWire, FoldPlate, Plate, Sheet

SIZES = Sizes()
NAME, LINE = 44.0, 26.0  # heights of the name of a plate, which is pressed, and of a line under it
HEAD, FOLD_HEAD, FOOT, BRIM = 100.0, 50.0, 50.0, 10.0
MARK = 22.0
SIDE = 12.0
SIGNS_OF_CODE, SIGNS_OF_LINE, SIGNS_OF_PORT, SIGNS_OF_BACK = 14, 27, 10, 23
TOGETHER = -1  # the port at which a bundle ends
LED_BACK = 12  # wires back that are drawn all their way; more than so many end where they say whereto


def draw(sheet: Sheet) -> SafeString:
    """Draw the sheet; its words stand in the list too, which is what is read aloud."""
    ports = _Ports(sheet)
    boxes = [
        _box(plate, column, _lines_back(plate, ports.back[number]))
        for number, (plate, column) in enumerate(zip(sheet.plates, sheet.columns, strict=True))
    ]
    drawing = lay_out(boxes, ports.wires, SIZES)
    parts = [_opening(sheet, drawing)]
    for wire, route in zip(ports.routed, drawing.routes, strict=True):
        parts.append(_wire(wire, route))
    parts.extend(f'<circle class="joint" cx="{x:g}" cy="{y:g}" r="4"/>' for x, y in drawing.joints)
    for index, placed in enumerate(drawing.boxes):
        parts.append("".join(_plate(sheet, index, placed, ports)))
    for wire, route in zip(ports.routed, drawing.routes, strict=True):
        if wire.link is not None:
            parts.append(_wire_mark(wire.link, route))
    return mark_safe("".join([*parts, "</svg>"]))  # noqa: S308  (every text in it is escaped where it is written)


class _Ports:
    """Which terminals of each plate are ports, the wires by those, and which wires of a plate lead back."""

    def __init__(self, sheet: Sheet) -> None:
        self.inputs: dict[int, dict[int, str]] = defaultdict(dict)
        self.outputs: dict[int, dict[int, str]] = defaultdict(dict)
        self.back: dict[int, list[DrawnWire]] = defaultdict(list)
        self.routed: list[DrawnWire] = []
        self.wires: list[Wire] = []
        self._numbers: dict[tuple[int, str], int] = {}
        self._together: dict[tuple[int, bool], int] = defaultdict(int)
        leads_back = sum(1 for wire in sheet.wires if wire.back) <= LED_BACK
        for number, wire in enumerate(sheet.wires):
            if wire.back:
                self.back[wire.source].append(wire)
            if leads_back or not wire.back:
                self.routed.append(wire)
                self.wires.append(Wire(wire.source, self._output(wire), wire.load, self._input(wire, number)))

    def _output(self, wire: DrawnWire) -> int:
        terminal = wire.link.source_terminal if wire.link else wire.terminal
        if not terminal:
            return self._bundled(self.outputs, wire.source, wire.count)
        port = self._numbers.setdefault((wire.source, terminal), len(self._numbers))
        self.outputs[wire.source][port] = terminal
        return port

    def _input(self, wire: DrawnWire, number: int) -> int:
        if wire.link is None:
            return self._bundled(self.inputs, wire.load, wire.count)
        self.inputs[wire.load][number] = wire.link.load_terminal
        return number

    def _bundled(self, side: dict[int, dict[int, str]], plate: int, count: int) -> int:
        key = plate, side is self.inputs
        self._together[key] += count
        side[plate][TOGETHER] = f"{self._together[key]} link{'s' if self._together[key] > 1 else ''}"
        return TOGETHER


def _box(plate: Plate | FoldPlate, column: int, back: int) -> Box:
    head = FOLD_HEAD if isinstance(plate, FoldPlate) else HEAD
    return Box(column, head, back * SIZES.row + (FOOT if plate.beyond else BRIM))


def _lines_back(plate: Plate | FoldPlate, wires: list[DrawnWire]) -> int:
    """How many lines of a plate say what leads back from it."""
    return len(wires) + (1 if isinstance(plate, Plate) and plate.more_back else 0)


def _opening(sheet: Sheet, drawing: Drawing) -> str:
    way = "downstream of" if sheet.asked.is_down else "upstream of"
    label = escape(f"Drawing: {len(sheet.plates)} plates {way} slot {sheet.start.code}. The list below says the same.")
    width, height = f"{drawing.width:g}", f"{drawing.height:g}"
    return (
        f'<svg class="follow" width="{width}" height="{height}" viewBox="0 0 {width} {height}" role="group"'
        f' aria-label="{label}">'
    )


def _wire(wire: DrawnWire, route: Route) -> str:
    kind = " back" if route.is_back else ""
    if wire.link is None:
        kind += " many"
    elif wire.link.is_lifted:
        kind += " lifted"
    (x, y), *rest = route.points
    steps = "".join(f"L{x:g} {y:g}" for x, y in rest)
    x2, y2 = route.points[-1]
    tip = f'<path class="tip" d="M{x2 - 9:g} {y2 - 5:g}l9 5-9 5z"/>'
    return f'<path class="wire{kind}" d="M{x:g} {y:g}{steps}"/>{tip}'


def _wire_mark(link: LinkFacts, route: Route) -> str:
    x, y = route.points[-1]
    label = f"link {link.code}: {link.standing}"
    return (
        f'<a href="{escape(link.address)}"><circle class="seat" cx="{x - 22:g}" cy="{y:g}" r="14"/>'
        f"{_mark(link.standing, label, x - 33, y - 11, MARK)}</a>"
    )


def _mark(standing: str, label: str, x: float, y: float, size: float) -> str:
    _, shape = shape_of(standing)
    return (
        f'<g class="st-{shape}" role="img"><title>{escape(label)}</title>'
        f'<use href="#mark-{shape}" x="{x:g}" y="{y:g}" width="{size:g}" height="{size:g}"/></g>'
    )


def _plate(sheet: Sheet, index: int, placed: PlacedBox, ports: _Ports) -> Iterator[str]:
    plate = sheet.plates[index]
    kind = "fold" if isinstance(plate, FoldPlate) else "start" if not index else "plain"
    if isinstance(plate, Plate) and not plate.slot.serial:
        kind += " empty"
    x, y, width, height = placed.x, placed.y, placed.width, placed.height
    yield f'<g class="on {kind}"><rect class="face" x="{x:g}" y="{y:g}" width="{width:g}" height="{height:g}"/>'
    yield from _fold_head(plate, placed) if isinstance(plate, FoldPlate) else _head(sheet, plate, placed)
    for port in placed.inputs:
        yield _port_name(ports.inputs[index][port.number], x + SIDE, port, "in")
    for port in placed.outputs:
        yield _port_name(ports.outputs[index][port.number], x + width - SIDE, port, "out")
    yield from _back_names(plate, ports.back[index], placed)
    if plate.beyond:
        yield _foot(plate, placed)
    yield "</g>"


def _head(sheet: Sheet, plate: Plate, placed: PlacedBox) -> Iterator[str]:
    x, y, slot = placed.x, placed.y, plate.slot
    name = _text(slot.code, x + SIDE + MARK + 8, y + 28, SIGNS_OF_CODE, "code")
    press = placed.width - (80 if plate.follows else 0)
    yield f'<a href="{escape(slot.address)}">{_press(x, y, press)}'
    yield f"{_mark(slot.standing, slot.label, x + SIDE, y + 11, MARK)}{name}</a>"
    if plate.follows:
        way = "downstream" if sheet.asked.is_down else "upstream"
        left = x + press
        yield (
            f'<a href="{escape(plate.follows)}"><title>Follow {way} from {escape(slot.code)}</title>'
            f"{_press(left, y, 80)}"
            f'<text class="go" x="{x + placed.width - SIDE:g}" y="{y + 28:g}">from here</text></a>'
        )
    else:
        yield f'<text class="out quiet" x="{x + placed.width - SIDE:g}" y="{y + 28:g}">start</text>'
    yield _text(slot.what or "function not said", x + SIDE, y + NAME + 18, SIGNS_OF_LINE, "what")
    if not slot.serial:
        yield _text("empty", x + SIDE, y + NAME + LINE + 19, SIGNS_OF_LINE, "quiet")
    for at, gate in enumerate(slot.gates[:10]):
        yield _mark(gate.standing, gate.label, x + SIDE + at * 25, y + NAME + LINE + 3, MARK - 2)


def _press(x: float, y: float, width: float) -> str:
    """The part of a plate that is pressed, as high as a finger needs."""
    return f'<rect class="press" x="{x:g}" y="{y:g}" width="{width:g}" height="{NAME:g}"/>'


def _fold_head(plate: FoldPlate, placed: PlacedBox) -> Iterator[str]:
    x, y = placed.x, placed.y
    yield f'<a href="{escape(plate.opens)}">{_press(x, y, placed.width)}'
    yield f"{_text(plate.words, x + SIDE, y + 28, SIGNS_OF_LINE, 'more')}</a>"


def _foot(plate: Plate | FoldPlate, placed: PlacedBox) -> str:
    x, bottom = placed.x, placed.y + placed.height
    if isinstance(plate, FoldPlate):
        return _text(f"and {plate.beyond} more beyond them", x + SIDE, bottom - 18, SIGNS_OF_LINE, "quiet")
    words = plate.says
    short = words if len(words) <= SIGNS_OF_LINE + 2 else f"and {plate.beyond} more beyond it"
    top = bottom - NAME
    return (
        f'<a href="{escape(plate.opens)}"><title>{escape(words)}</title>'
        f'{_press(x, top, placed.width)}<path class="edge" d="M{x:g} {top:g}h{placed.width:g}"/>'
        f'<text class="more" x="{x + SIDE:g}" y="{top + 28:g}">{escape(short)}</text></a>'
    )


def _port_name(name: str, x: float, port: Port, side: str) -> str:
    return _text(name, x, port.y + 6, SIGNS_OF_PORT, f"port {side}")


def _back_names(plate: Plate | FoldPlate, wires: list[DrawnWire], placed: PlacedBox) -> Iterator[str]:
    """Under the ports a line for each link that leads back: from which terminal, where to, and how it stands."""
    x = placed.x + placed.width - SIDE
    y = placed.y + placed.height - (FOOT if plate.beyond else BRIM) - _lines_back(plate, wires) * SIZES.row - 9
    for wire in wires:
        y += SIZES.row
        link = wire.link
        if link is not None:
            words = f"{link.source_terminal} {wire.back}"
            name = _text(words, x - MARK - 6, y, SIGNS_OF_BACK, "out back-to")
            mark = _mark(link.standing, f"link {link.code}: {link.standing}", x - MARK, y - 17, MARK)
            yield f'<a href="{escape(link.address)}">{name}{mark}</a>'
    if isinstance(plate, Plate) and plate.more_back:
        yield _text(f"and {plate.more_back} more back", x, y + SIZES.row, SIGNS_OF_BACK, "out back-to")


def _text(words: str, x: float, y: float, most: int, kind: str, full: str = "") -> str:
    """A line of text; one that is too long for its place is cut, and says all of it in its title."""
    shown = words if len(words) <= most else f"{words[: most - 1]}…"
    title = f"<title>{escape(full or words)}</title>" if full or shown != words else ""
    return f'<text class="{kind}" x="{x:g}" y="{y:g}">{title}{escape(shown)}</text>'
