"""Leads the wires: through the channel between neighbouring columns, else over a lane above or below all boxes."""

from collections import defaultdict
from collections.abc import Iterator, Sequence

from restoration.engineering.drawing.channels import Net, NetPins, Tracks, tracks_of
from restoration.engineering.drawing.ordering import Columns
from restoration.engineering.drawing.parts import Box, Point, Route, Sizes, Wire, is_back
from restoration.engineering.drawing.ports import Rows

LaneKey = tuple[Net, bool]  # a net, and whether its lane is below


class Routing:
    """One drawing while its wires are led: channel c lies after column c, channel -1 before the first."""

    def __init__(
        self,
        boxes: Sequence[Box],
        wires: Sequence[Wire],
        rows: Sequence[Rows],
        tops: Sequence[float],
        columns: Columns,
        sizes: Sizes,
    ) -> None:
        self.boxes, self.wires, self.sizes, self.columns = list(boxes), list(wires), sizes, columns
        self.rows = rows
        self.in_row = [{port.number: port.y for port in each.inputs} for each in rows]
        self.out_row = [{port.number: port.y for port in each.outputs} for each in rows]
        self.back = [is_back(self.boxes, wire) for wire in self.wires]
        lanes = [key for key, _ in self._lane_wires()]
        self.lane = self._lanes(lanes)
        above = 1 + max((n for (_, below), n in self.lane.items() if not below), default=-1)
        self.top = sizes.margin + above * sizes.track + (sizes.grid if above else 0.0)
        self.tops = [top + self.top for top in tops]
        self.shift = [0.0] * len(columns)
        self.channels = self._channels()
        self._set_width()
        self._set_height()

    def _lane_wires(self) -> Iterator[tuple[LaneKey, Wire]]:
        for wire, back in zip(self.wires, self.back, strict=True):
            if back or self.boxes[wire.load].column > self.boxes[wire.source].column + 1:
                yield ((wire.source, wire.out_port), back), wire

    def _lanes(self, keys: Sequence[LaneKey]) -> dict[LaneKey, int]:
        """Number the lanes of each side from the boxes outwards; nets whose ways do not meet share one."""
        spans: dict[LaneKey, tuple[int, int]] = {}
        for key, wire in self._lane_wires():
            ends = (self.boxes[wire.source].column, self.boxes[wire.load].column - 1, *spans.get(key, ()))
            spans[key] = (min(ends), max(ends))
        taken: dict[bool, list[int]] = {True: [], False: []}
        lanes: dict[LaneKey, int] = {}
        for key in sorted(dict.fromkeys(keys), key=lambda key: (spans[key], key)):
            first, last = spans[key]
            ends_of = taken[key[1]]
            lane = next((n for n, end in enumerate(ends_of) if end < first), len(ends_of))
            ends_of[lane:] = [last] if lane == len(ends_of) else [last, *ends_of[lane + 1 :]]
            lanes[key] = lane
        return lanes

    def lane_y(self, key: LaneKey) -> float:
        """The height of a lane."""
        if key[1]:
            return self.bottom + self.sizes.grid + (self.lane[key] + 0.5) * self.sizes.track
        return self.top - self.sizes.grid - (self.lane[key] + 0.5) * self.sizes.track

    @property
    def bottom(self) -> float:
        """Where the lowest box ends."""
        return max((top + each.height for top, each in zip(self.tops, self.rows, strict=True)), default=self.top)

    def out_y(self, wire: Wire) -> float:
        """The height at which a wire leaves its source."""
        return self.tops[wire.source] + self.out_row[wire.source][wire.out_port]

    def in_y(self, wire: Wire) -> float:
        """The height at which a wire enters its load."""
        return self.tops[wire.load] + self.in_row[wire.load][wire.in_port]

    def _channels(self) -> dict[int, Tracks]:
        """Give the nets of each channel their tracks; a column moves by half a grid where two nets would be in line."""
        found = {}
        self.nets: dict[int, dict[Net, NetPins]] = {}
        for channel in range(-1, len(self.columns)):
            if channel >= 0 and channel + 1 < len(self.columns) and self.shift[channel]:
                self._move(channel + 1, self.shift[channel])
            nets = self._nets(channel)
            tracks = tracks_of(nets)
            if not tracks.is_clear and channel + 1 < len(self.columns):
                half = self.sizes.grid / 2
                self._move(channel + 1, half if not self.shift[channel] else -half)
                nets = self._nets(channel)
                tracks = tracks_of(nets)
            self.nets[channel] = nets
            found[channel] = tracks
        return found

    def _move(self, column: int, by: float) -> None:
        self.shift[column] += by
        for box in self.columns[column]:
            self.tops[box] += by

    def _nets(self, channel: int) -> dict[Net, NetPins]:
        nets: dict[Net, NetPins] = defaultdict(NetPins)
        for wire, back in zip(self.wires, self.back, strict=True):
            net = (wire.source, wire.out_port)
            begins = self.boxes[wire.source].column == channel
            ends = self.boxes[wire.load].column == channel + 1
            if begins:
                nets[net].left.add(self.out_y(wire))
            if ends:
                nets[net].right.add(self.in_y(wire))
            if (begins or ends) and (net, back) in self.lane and not (begins and ends and not back):
                nets[net].reach.add(1e9 if back else -1e9)
        return nets

    def _set_width(self) -> None:
        self.track_x: dict[int, float] = {}
        self.column_x: list[float] = []
        x = self.sizes.margin
        for channel in range(-1, len(self.columns)):
            count = self.channels[channel].count
            x += self.sizes.before_tracks if count and channel >= 0 else 0.0
            self.track_x[channel] = x
            x += max(0, count - 1) * self.sizes.track
            if channel + 1 < len(self.columns):
                x += self.sizes.after_tracks if count or channel >= 0 else 0.0
                x += self.sizes.before_tracks if not count and channel >= 0 else 0.0
                self.column_x.append(x)
                x += self.sizes.box_width
        self.width = x + self.sizes.margin

    def _set_height(self) -> None:
        below = 1 + max((lane for (_, is_below), lane in self.lane.items() if is_below), default=-1)
        self.height = self.bottom + below * self.sizes.track + (self.sizes.grid if below else 0.0) + self.sizes.margin

    def _x(self, channel: int, net: Net) -> float:
        return self.track_x[channel] + self.channels[channel].of_net.get(net, 0) * self.sizes.track

    def routes(self) -> Iterator[Route]:
        """The way of each wire, in the order given."""
        for wire, back in zip(self.wires, self.back, strict=True):
            yield Route(self._points(wire, back), back)

    def joints(self) -> Iterator[Point]:
        """Where a wire branches: inside the span of its trunk or of its lane, or where it also runs straight on."""
        for channel in self.channels:
            for net, pins in self.nets[channel].items():
                first, last = pins.span
                inside = {y for y in pins.left | pins.right if first < y < last}
                straight_on = pins.left & pins.right if first < last else set()
                yield from ((self._x(channel, net), y) for y in sorted(inside | straight_on))
        yield from self._lane_joints()

    def _lane_joints(self) -> Iterator[Point]:
        reached: dict[LaneKey, set[float]] = defaultdict(set)
        for key, wire in self._lane_wires():
            reached[key] |= {self._x(self.boxes[end].column - late, key[0]) for end, late in _ends(wire)}
        for key, at in reached.items():
            yield from ((x, self.lane_y(key)) for x in sorted(at)[1:-1])

    def _points(self, wire: Wire, back: bool) -> tuple[Point, ...]:
        net = (wire.source, wire.out_port)
        source, load = self.boxes[wire.source].column, self.boxes[wire.load].column
        out_y, in_y = self.out_y(wire), self.in_y(wire)
        begin, end = (self.column_x[source] + self.sizes.box_width, out_y), (self.column_x[load], in_y)
        if load == source + 1:
            if out_y == in_y:
                return begin, end
            bend = self._x(source, net)
            return begin, (bend, out_y), (bend, in_y), end
        out_x, in_x, lane = self._x(source, net), self._x(load - 1, net), self.lane_y((net, back))
        return begin, (out_x, out_y), (out_x, lane), (in_x, lane), (in_x, in_y), end


def _ends(wire: Wire) -> tuple[tuple[int, int], tuple[int, int]]:
    """The boxes that a wire joins, each with how many columns before its own the channel lies that the wire is in."""
    return (wire.source, 0), (wire.load, 1)
