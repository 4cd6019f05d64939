"""Ways of a long walk in words: ten times as long takes some ten times as long, not a hundred times."""

from time import perf_counter

import pytest

from restoration.engineering.doubt.around import Spot, Walked, Wire
from restoration.engineering.doubt.ways import ways_there

REPEATS = 5


def chain(length: int) -> list[Walked]:
    """A walk of so many wires, one behind the other."""
    spots = [Spot(number, f"C-{number}") for number in range(length + 1)]
    wires = [Wire(number, f"{number}", spots[number], spots[number + 1]) for number in range(length)]
    return [Walked(wire, place - 1 if place else None) for place, wire in enumerate(wires)]


def quickest(length: int) -> float:
    """The shortest of several times for a walk of this length."""
    walk, times = chain(length), []
    for _ in range(REPEATS):
        began = perf_counter()
        assert sum(1 for _ in ways_there(walk)) == length
        times.append(perf_counter() - began)
    return min(times)


@pytest.mark.benchmark
def test_a_walk_ten_times_as_long_does_not_take_a_hundred_times_as_long() -> None:
    short, long = quickest(2_000), quickest(20_000)
    print(f"2,000 wires {1e3 * short:.1f} ms, 20,000 wires {1e3 * long:.1f} ms: {long / short:.1f} times")
    assert long < 40 * short
