"""Draws boxes in columns, joined by orthogonal wires: where each box, port and bend comes to stand."""

from restoration.engineering.drawing.layout import lay_out
from restoration.engineering.drawing.parts import Box, Drawing, PlacedBox, Port, Route, Sizes, Wire

__all__ = ["Box", "Drawing", "PlacedBox", "Port", "Route", "Sizes", "Wire", "lay_out"]
