"""What a drawing is made from, and what it comes out as. Lengths are in units of the drawing, y grows downwards."""

from collections.abc import Sequence
from dataclasses import dataclass

Point = tuple[float, float]


@dataclass(frozen=True)
class Box:
    """A box to be drawn: its column, and the heights kept free above and below its rows of ports."""

    column: int
    head: float
    foot: float = 0.0


@dataclass(frozen=True)
class Wire:
    """A wire from an output of one box to an input of another, both boxes by their place in the list.

    Wires of one output share a port and a trunk; wires of one input share a port.
    """

    source: int
    out_port: int
    load: int
    in_port: int


@dataclass(frozen=True)
class Sizes:
    """How large things are drawn; `grid` divides every other height, and half of it keeps two lines apart."""

    box_width: float = 270.0
    row: float = 30.0
    gap: float = 20.0
    grid: float = 10.0
    track: float = 12.0
    before_tracks: float = 18.0
    after_tracks: float = 46.0
    margin: float = 10.0


@dataclass(frozen=True)
class Port:
    """A port as it is placed: its number, and the height of its wire."""

    number: int
    y: float


@dataclass(frozen=True)
class PlacedBox:
    """A box as it is placed, with its inputs down the left side and its outputs down the right."""

    x: float
    y: float
    width: float
    height: float
    inputs: tuple[Port, ...]
    outputs: tuple[Port, ...]


@dataclass(frozen=True)
class Route:
    """A wire as it is drawn, from output to input, square; `is_back` if it ends in its own column or before."""

    points: tuple[Point, ...]
    is_back: bool


@dataclass(frozen=True)
class Drawing:
    """The whole drawing, boxes and routes in the order in which they were given; `joints` are where a wire branches."""

    width: float
    height: float
    boxes: tuple[PlacedBox, ...]
    routes: tuple[Route, ...]
    joints: tuple[Point, ...] = ()


def is_back(boxes: Sequence[Box], wire: Wire) -> bool:
    """Tell whether a wire ends in its own column or an earlier one.

    >>> is_back([Box(0, 40), Box(1, 40)], Wire(1, 0, 0, 0))
    True
    """
    return boxes[wire.load].column <= boxes[wire.source].column
