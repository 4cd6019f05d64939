"""On which track of the channel between two columns each net bends.

The constrained left-edge method of channel routing (Hashimoto and Stevens, "Wire routing by optimizing channel
assignment within large apertures", Proc. 8th Design Automation Workshop, 1971; constraints as in Deutsch, 13th Design
Automation Conference, 1976; both cited from memory), turned by a right angle.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

Net = tuple[int, int]  # the box and the output port that drive it


@dataclass
class NetPins:
    """Where a net enters a channel from the left, leaves it to the right, and how far up and down it must reach."""

    left: set[float] = field(default_factory=set)
    right: set[float] = field(default_factory=set)
    reach: set[float] = field(default_factory=set)

    @property
    def span(self) -> tuple[float, float]:
        """The least and the most height of its vertical part."""
        heights = self.left | self.right | self.reach
        return min(heights), max(heights)


@dataclass(frozen=True)
class Tracks:
    """The track of each net that bends, from the left; `is_clear` unless two nets must each be left of the other."""

    of_net: dict[Net, int]
    count: int
    is_clear: bool


def tracks_of(nets: Mapping[Net, NetPins]) -> Tracks:
    """Give each net of a channel a track, so that no two nets lie upon each other.

    Nets on one track do not reach each other; where one net enters at the height at which another leaves, the first
    bends further left. Two nets that would have to bend left of each other stand side by side, and `is_clear` is False.

    >>> crossing = {(0, 0): NetPins(left={10.0}, right={50.0}), (1, 0): NetPins(left={50.0}, right={90.0})}
    >>> tracks_of(crossing).of_net
    {(1, 0): 0, (0, 0): 1}
    """
    waiting = sorted((net for net, pins in nets.items() if pins.span[0] < pins.span[1]), key=lambda net: nets[net].span)
    left_of = _left_of(nets)
    of_net: dict[Net, int] = {}
    track, is_clear = 0, True
    while waiting:
        held = set(waiting)
        free = [net for net in waiting if not (left_of.get(net, set()) & held)]
        if not free:
            free, is_clear = waiting[:1], False
        placed = _along_one_track(free, nets)
        of_net.update(dict.fromkeys(placed, track))
        waiting = [net for net in waiting if net not in of_net]
        track += 1
    return Tracks(of_net, track, is_clear)


def _left_of(nets: Mapping[Net, NetPins]) -> dict[Net, set[Net]]:
    """For each net the nets that must bend further left: those that enter at a height at which it leaves."""
    entering: dict[float, Net] = {height: net for net, pins in nets.items() for height in pins.left}
    found: dict[Net, set[Net]] = {}
    for net, pins in nets.items():
        others = {entering[height] for height in pins.right if height in entering} - {net}
        if others:
            found[net] = others
    return found


def _along_one_track(free: list[Net], nets: Mapping[Net, NetPins]) -> list[Net]:
    """As many nets as one track takes, from the top: each begins below the end of the one before."""
    placed: list[Net] = []
    end = float("-inf")
    for net in free:
        first, last = nets[net].span
        if first > end:
            placed.append(net)
            end = last
    return placed
