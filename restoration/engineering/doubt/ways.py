"""The ways of a walk in words: which wires and slots were gone through to come to each wire."""

from collections.abc import Iterator, Sequence

from restoration.engineering.doubt.around import Walked, Wire

NAMED = 3
"""Of a long way so many wires are named at its beginning, and so many at its end."""


def ways_there(walk: Sequence[Walked]) -> Iterator[tuple[str, ...]]:
    """For each wire of a walk the steps gone through before it; of a long way the first and the last of them.

    Each wire must stand behind the one before it on its way. In time linear in the walk, however long the ways are.

    >>> from restoration.engineering.doubt.around import Spot
    >>> spots = [Spot(number, f"C-{number:02}") for number in range(4)]
    >>> wires = [Wire(n, f"{n}", spots[n], spots[n + 1]) for n in range(3)]
    >>> list(ways_there([Walked(wires[0]), Walked(wires[1], 0), Walked(wires[2], 1)]))[2]
    ('link 0', 'slot C-01', 'link 1', 'slot C-02')
    """
    firsts: list[tuple[Wire, ...]] = []
    lengths: list[int] = []
    for walked in walk:
        before = walked.before
        lengths.append(0 if before is None else lengths[before] + 1)
        firsts.append(() if before is None else (*firsts[before], walk[before].wire)[:NAMED])
        yield tuple(_steps(firsts[-1], lengths[-1], _lasts(walk, before)))


def _lasts(walk: Sequence[Walked], at: int | None) -> list[Wire]:
    """The wires just before, at most twice as many as are named."""
    wires: list[Wire] = []
    while at is not None and len(wires) < 2 * NAMED:
        wires.append(walk[at].wire)
        at = walk[at].before
    return wires[::-1]


def _steps(firsts: tuple[Wire, ...], length: int, lasts: list[Wire]) -> Iterator[str]:
    if length <= 2 * NAMED:
        yield from _named(lasts)
        return
    more = length - 2 * NAMED
    yield from _named(firsts)
    yield f"{more} more {'link' if more == 1 else 'links'}"
    yield from _named(lasts[-NAMED:])


def _named(wires: Sequence[Wire]) -> Iterator[str]:
    for wire in wires:
        yield f"link {wire.code}"
        yield f"slot {wire.load.code}"
