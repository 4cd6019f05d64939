"""The line solver beside the plain stepping loop, and beside numpy reading as many traces off a record; in one run."""

import time
from itertools import product

import numpy as np
import pytest

from restoration.engineering.link_model import LinkLoad, LinkModel, LosslessLine, PulseSource, link_volts
from tests.engineering.lines.stepping_loop import step_wanted_s, stepped_volts

NS, PF = 1e-9, 1e-12
POINTS = 5_000
TIMES_THE_LOOP = 5.0  # 8 to 17 on a quiet machine, the least at 10 m; a shared machine takes some of it
MOST_READINGS = 25.0

pytestmark = pytest.mark.benchmark


def seconds(act, runs=9):
    """The shortest of several runs, and what the last gave."""
    taken = []
    for _ in range(runs):
        began = time.perf_counter()
        made = act()
        taken.append(time.perf_counter() - began)
    return min(taken), made


def machine_links():
    """What a machine has: half a metre to ten, stiff and weak sources, grids with and without stopper."""
    shapes = ((1e-6, 40 * NS), (3e-6, 150 * NS), (10e-6, 600 * NS))
    for metres, ohm, stopper_ohm, (duration_s, edge_s) in product((0.5, 3.0, 10.0), (40.0, 1000.0), (0.0, 1e4), shapes):
        source = PulseSource(0.0, 30.0, duration_s, edge_s, 1.3 * edge_s, ohm, start_s=0.05 * duration_s)
        line = LosslessLine.of_length(metres, impedance_ohm=250.0, delay_s_per_m=4 * NS)
        yield LinkModel(source, line, LinkLoad(1e6, 40 * PF, grid_stopper_ohm=stopper_ohm))


def times_of(link):
    return np.linspace(0.0, 2 * link.source.duration_s, POINTS)


def five_readings():
    """Five traces of 5,000 steps read at 5,000 times each, straight lines between the steps: numpy's own."""
    at_s, steps_s = np.sort(np.random.default_rng(1).uniform(0, 1, POINTS)), np.linspace(0, 1, POINTS)
    rows = np.random.default_rng(2).normal(size=(5, POINTS))
    return seconds(lambda: [np.interp(at_s, steps_s, row) for row in rows], 50)[0]


def test_every_link_of_a_machine_beside_numpys_readings():
    """5,000 times, five points, every reflection; five thousandths of a second are forty such readings."""
    reading = five_readings()
    ours = np.array([seconds(lambda link=link: link_volts(link, times_of(link)))[0] for link in machine_links()])
    worst, middle = ours.max(), float(np.median(ours))
    print(
        f"{ours.size} links of {POINTS} times: worst {1e3 * worst:.2f} ms, middle {1e3 * middle:.2f} ms; five readings "
        f"by numpy {1e3 * reading:.3f} ms: worst {worst / reading:.1f} times, middle {middle / reading:.1f} times"
    )
    assert worst <= MOST_READINGS * reading


@pytest.mark.parametrize("metres", [0.5, 3.0, 10.0])
def test_one_link_beside_the_stepping_loop(metres):
    """The loop at the step it would choose for itself; both within 0.1 % of the swing of a much finer answer."""
    source = PulseSource(0.0, 30.0, 3e-6, 60 * NS, 80 * NS, 90.0, start_s=150 * NS)
    line = LosslessLine.of_length(metres, impedance_ohm=250.0, delay_s_per_m=4 * NS)
    link = LinkModel(source, line, LinkLoad(1e6, 40 * PF))
    times_s = times_of(link)
    ours, volts = seconds(lambda: link_volts(link, times_s))
    loops, (_, far_v) = seconds(lambda: stepped_volts(link, times_s), 3)
    fine_v = link_volts(link, times_s, longest_step_s=step_wanted_s(link) / 20).load_v
    off, loops_off = (float(np.abs(found - fine_v).max()) / 30.0 for found in (volts.load_v, far_v))
    print(
        f"{metres} m: ours {1e3 * ours:.2f} ms, off by {off:.3%}; "
        f"the loop {1e3 * loops:.1f} ms, off by {loops_off:.3%}, {loops / ours:.0f} times"
    )
    assert max(off, loops_off) < 1e-3
    assert loops >= TIMES_THE_LOOP * ours
