"""The ways a signal can go, as a graph in which each link is one edge, so that it can be lifted as a whole."""

import numpy as np

from restoration.engineering.loop_opening import Flow, Ints, strong_labels
from restoration.engineering.wiring import Wiring
from restoration.engineering.wiring.rows import Rows


def flow_of(wiring: Wiring, rank: Ints) -> tuple[Flow, Ints]:
    """Lay a machine's wiring out as a graph whose edges are its links; and say in which slot each node lies.

    A stage is a node, and so is a terminal that passes a signal on by itself. A terminal that several stages drive,
    or that drives several, is a node of its own, joined to them by inner edges: inner edges lead only from stages to
    sources, from loads to stages, and from a stage to one that it feeds inside the slot. Stages that feed each other
    in a circle inside their slot are drawn together, for no link can be lifted there. Shapes: rank (links,); the
    second answer (nodes,). Formula and source: none. Valid for any wiring. Never raises.

    >>> from restoration.engineering.wiring import build_wiring
    >>> pair = build_wiring(slot_count=2, terminal_slot=[0, 1], source=[0], load=[1])
    >>> flow, slots = flow_of(pair, np.array([0]))
    >>> flow.node_count, slots.tolist(), flow.link_tail.tolist(), flow.link_head.tolist()
    (2, [0, 1], [0], [1])
    """
    leaves, behind, drivers, count = _end_nodes(wiring.nodes.out_of, wiring.source.astype(np.int64), wiring.nodes.count)
    arrives, before, driven, count = _end_nodes(wiring.nodes.into, wiring.load.astype(np.int64), count)
    slots = np.concatenate((wiring.nodes.slot, wiring.terminal_slot[behind], wiring.terminal_slot[before]))
    joints = wiring.nodes.joints
    tail = np.concatenate((drivers[1], driven[0], joints[0])).astype(np.int64)
    head = np.concatenate((drivers[0], driven[1], joints[1])).astype(np.int64)
    place = strong_labels(count, tail, head) if joints[0].size else np.arange(count)
    of_place = np.zeros(int(place.max(initial=-1)) + 1, dtype=np.int64)
    of_place[place] = slots
    tail, head = place[tail], place[head]
    apart = tail != head
    ends = place[leaves[wiring.source]], place[arrives[wiring.load]]
    return Flow(of_place.size, *ends, tail[apart], head[apart], wiring.source.astype(np.int64), rank), of_place


def _end_nodes(stages: Rows, ends: Ints, count: int) -> tuple[Ints, Ints, tuple[Ints, Ints], int]:
    """The node of each terminal that a link ends at: its stage, or a new one, and what the new ones are joined to."""
    size = np.diff(stages.start)
    many = np.unique(ends)
    many = many[size[many] != 1].astype(np.int64)
    node = np.zeros(size.size, dtype=np.int64)
    single = size == 1
    node[single] = stages.ends[stages.start[:-1][single]]
    node[many] = count + np.arange(many.size)
    seats = stages.places(many.astype(np.int32))
    joined = np.repeat(node[many], size[many]), stages.ends[seats].astype(np.int64)
    return node, many, joined, count + int(many.size)
