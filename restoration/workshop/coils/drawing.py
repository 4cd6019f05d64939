"""The small drawing on a coil's card: former, turns in section, and letters for the key below it. Not to scale."""

from dataclasses import dataclass

from restoration.engineering.coils import Wound

WIDTH = 360
FORMER_LEFT, FORMER_RIGHT, FORMER_TOP, FORMER_BOTTOM = 40, 320, 100, 160
LEFT, RIGHT = 76, 276
MOST_TURNS, MOST_LAYERS = 12, 4
LARGEST_RADIUS = 8.0


@dataclass(frozen=True)
class Turn:
    """One turn cut through."""

    x: str
    y: str


@dataclass(frozen=True)
class CoilDrawing:
    """The turns that are drawn, how thick, and whether some are left out of the middle or on top."""

    turns: tuple[Turn, ...]
    radius: str
    dots: tuple[Turn, ...]
    leaves_out: bool
    box: str
    dimension: str
    letter_y: str


def draw(coil: Wound) -> CoilDrawing:
    """Lay out the turns of a coil in section: at most twelve to a layer and four layers, above and below the former."""
    count = min(coil.per_layer, MOST_TURNS)
    layers = min(coil.layers, MOST_LAYERS)
    step = (RIGHT - LEFT) / count
    radius = min(step / 2 * coil.covered_m / coil.pitch, LARGEST_RADIUS)
    step = min(step, 2 * LARGEST_RADIUS * coil.pitch / coil.covered_m)
    start = (LEFT + RIGHT - step * count) / 2
    is_long = coil.per_layer > MOST_TURNS
    middle = {count // 2 - 1, count // 2} if is_long else set()
    last = coil.turns - coil.per_layer * (coil.layers - 1)
    turns: list[Turn] = []
    dots: list[Turn] = []
    for layer in range(layers):
        is_last = layer == layers - 1
        drawn = max(1, round(count * last / coil.per_layer)) if is_last else count
        places = range(count)[-drawn:] if (coil.layers - 1) % 2 and is_last else range(drawn)
        for place in places:
            for y in _heights(layer, radius):
                turn = Turn(f"{start + (place + 0.5) * step:.1f}", f"{y:.1f}")
                (dots if place in middle else turns).append(turn)
    reach = 2 * radius * layers
    top, line = FORMER_TOP - reach - 12, FORMER_BOTTOM + reach + 30
    return CoilDrawing(
        tuple(turns),
        f"{radius:.1f}",
        tuple(dots),
        is_long or coil.layers > MOST_LAYERS,
        box=f"0 {top:.0f} {WIDTH} {line + 30 - top:.0f}",
        dimension=_dimension(start, start + step * count, line),
        letter_y=f"{line + 22:.0f}",
    )


def _dimension(left: float, right: float, y: float) -> str:
    """The line below the winding that tells its length, with its arrows and the two lines down to it."""
    arrows = f"M{left + 6:.1f} {y - 5:.1f}L{left:.1f} {y:.1f}L{left + 6:.1f} {y + 5:.1f}"
    arrows += f"M{right - 6:.1f} {y - 5:.1f}L{right:.1f} {y:.1f}L{right - 6:.1f} {y + 5:.1f}"
    down = "".join(f"M{x:.1f} {y - 22:.1f}V{y + 6:.1f}" for x in (left, right))
    return f"M{left:.1f} {y:.1f}H{right:.1f}{arrows}{down}"


def _heights(layer: int, radius: float) -> tuple[float, float]:
    out = (2 * layer + 1) * radius
    return FORMER_TOP - out, FORMER_BOTTOM + out
