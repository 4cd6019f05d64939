"""Ways in words: short ones whole, long ones by their ends."""

import pytest

from restoration.engineering.doubt.around import Spot, Walked, Wire
from restoration.engineering.doubt.ways import ways_there


def chain(length: int) -> list[Walked]:
    """A walk of so many wires, one behind the other."""
    spots = [Spot(number, f"C-{number}") for number in range(length + 1)]
    wires = [Wire(number, f"{number}", spots[number], spots[number + 1]) for number in range(length)]
    return [Walked(wire, place - 1 if place else None) for place, wire in enumerate(wires)]


def way(length: int) -> str:
    """The way to the last wire of a chain."""
    return " → ".join(list(ways_there(chain(length)))[-1])


@pytest.mark.parametrize(
    ("length", "said"),
    [
        (1, ""),
        (2, "link 0 → slot C-1"),
        (7, " → ".join(f"link {n} → slot C-{n + 1}" for n in range(6))),
        (
            8,
            "link 0 → slot C-1 → link 1 → slot C-2 → link 2 → slot C-3 → 1 more link → "
            "link 4 → slot C-5 → link 5 → slot C-6 → link 6 → slot C-7",
        ),
        (
            10,
            "link 0 → slot C-1 → link 1 → slot C-2 → link 2 → slot C-3 → 3 more links → "
            "link 6 → slot C-7 → link 7 → slot C-8 → link 8 → slot C-9",
        ),
    ],
)
def test_a_way_names_the_wires_gone_through(length, said):
    assert way(length) == said


def test_two_ways_that_part_keep_their_own_wires():
    first, second, third = (walked.wire for walked in chain(3))
    walk = [Walked(first), Walked(second), Walked(third, 1)]
    assert list(ways_there(walk)) == [(), (), ("link 1", "slot C-2")]
