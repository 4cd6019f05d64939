"""The wiring in memory: made from the rows, renewed when they change, and asked by place."""

from restoration.machine.wiring.keeping import wiring_now
from restoration.machine.wiring.known import KnownWiring
from restoration.machine.wiring.places import Place, find_place, place_of_link

__all__ = ["KnownWiring", "Place", "find_place", "place_of_link", "wiring_now"]
