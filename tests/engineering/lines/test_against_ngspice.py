"""The line solver against ngspice: lattices, ramps, and sixty links with every kind of end, on a grid and at random."""

import math
import time
from dataclasses import replace
from itertools import product

import numpy as np
import pytest

from restoration.engineering.link_model import LinkLoad, LinkModel, LosslessLine, PulseSource, link_volts
from tests.engineering.lines.circuits import POINTS, solved_by_ngspice

NS, PF = 1e-9, 1e-12
WITHIN = 0.005
"""Of the swing, at every point and time; 2 % outside the first part of each edge would do for a pair in the loft."""
GRID_OHM = 1e6


def resistive(luck):
    return {"load": LinkLoad(float(luck.choice([47.0, 270.0, 1e3, 1e6])))}


def capacitive(luck):
    return {"load": LinkLoad(math.inf, luck.uniform(20, 60) * PF)}


def stopped_grid(luck):
    stopper_ohm = float(luck.choice([100.0, 1e3, 1e4]))
    return {"load": LinkLoad(GRID_OHM, luck.uniform(20, 60) * PF, grid_stopper_ohm=stopper_ohm), "series_ohm": 47.0}


def attenuated(luck):
    """R1 beside C1, from far too little of it to far too much."""
    return {
        "load": LinkLoad(GRID_OHM, luck.uniform(20, 60) * PF, grid_stopper_ohm=float(luck.choice([0.0, 1e3]))),
        "attenuator_ohm": luck.uniform(200, 2000),
        "attenuator_f": float(luck.choice([0.0, 22.0, 100.0, 330.0])) * PF,
        "shunt_ohm": luck.uniform(300, 3000),
    }


def coupled_and_shared(luck):
    """A coupled shunt at the end, other wires and a shunt on the source."""
    return {
        "load": LinkLoad(GRID_OHM, luck.uniform(20, 60) * PF),
        "shunt_ohm": luck.uniform(200, 600),
        "shunt_coupling_f": float(luck.choice([220.0, 1000.0, 4700.0])) * PF,
        "source_load_ohm": 47e3,
        "source_load_f": luck.uniform(20, 300) * PF,
        "source_shunt_ohm": float(luck.choice([math.inf, 2200.0])),
        "series_ohm": float(luck.choice([0.0, 150.0])),
    }


ENDS = (resistive, capacitive, stopped_grid, attenuated, coupled_and_shared)


def link_of(luck, ends, *, length_m, source_ohm, rise_s):
    source = PulseSource(
        rest_v=float(luck.choice([0.0, 0.0, -4.0])),
        active_v=float(luck.choice([30.0, -25.0])),
        duration_s=luck.uniform(0.4, 1.2) * 1e-6 + rise_s,
        rise_s=rise_s,
        fall_s=rise_s * luck.uniform(0.7, 1.5),
        resistance_ohm=source_ohm,
        start_s=20 * NS,
    )
    line = LosslessLine.of_length(
        length_m, impedance_ohm=luck.uniform(200, 300), delay_s_per_m=luck.uniform(3.4, 5) * NS
    )
    return LinkModel(source, line, **ends(luck))


def on_a_grid():
    luck = np.random.default_rng(1951)
    for ends, length_m, source_ohm in product(ENDS, (0.5, 3.0, 10.0), (40.0, 1000.0)):
        yield link_of(luck, ends, length_m=length_m, source_ohm=source_ohm, rise_s=60 * NS)


def at_random():
    luck = np.random.default_rng(4)
    for number in range(30):
        yield link_of(
            luck,
            ENDS[number % len(ENDS)],
            length_m=math.exp(luck.uniform(math.log(0.5), math.log(10))),
            source_ohm=math.exp(luck.uniform(math.log(40), math.log(1000))),
            rise_s=math.exp(luck.uniform(math.log(10), math.log(600))) * NS,
        )


def as_run(link):
    source = link.source
    until_s = source.start_s + source.duration_s * 1.7 + source.rise_s + source.fall_s + 6 * link.line.delay_s
    # ngspice crawls where its longest step is longer than the delay
    return link, until_s, min(source.rise_s / 25, source.fall_s / 25, 4 * NS, link.line.delay_s / 3)


def worst_error(link, columns, volts):
    """The largest difference at any point and time, first part of each edge included, as a part of the swing."""
    ours = np.column_stack([getattr(volts, point) for point in POINTS])
    return float(np.abs(ours - columns[:, 1:]).max()) / abs(link.source.step_v)


def test_sixty_links_on_a_grid_and_at_random(tmp_path):
    links = [*on_a_grid(), *at_random()]
    began = time.perf_counter()
    solved = solved_by_ngspice([as_run(link) for link in links], tmp_path)
    middle = time.perf_counter()
    ours = [link_volts(link, columns[:, 0]) for link, columns in zip(links, solved, strict=True)]
    ended = time.perf_counter()
    errors = np.array([worst_error(*each) for each in zip(links, solved, ours, strict=True)])
    print(
        f"{len(links)} links, {sum(len(columns) for columns in solved)} times: worst {errors.max():.3%} of the swing, "
        f"median of the worst {np.median(errors):.3%}; ngspice {middle - began:.1f} s, ours {ended - middle:.2f} s"
    )
    assert len(links) == 60
    assert errors.max() < WITHIN


def step_source(volts, resistance_ohm, *, ramp_s=0.001 * NS):
    return PulseSource(0.0, volts, 1.0, ramp_s, ramp_s, resistance_ohm)


LATTICES = {
    "A": LinkModel(step_source(10.0, 25.0), LosslessLine(75.0, 10 * NS), LinkLoad(225.0)),
    "B": LinkModel(step_source(120.0, 0.0), LosslessLine(30.0, 10 * NS), LinkLoad(90.0)),
    "C": LinkModel(step_source(120.0, 0.0), LosslessLine(30.0, 10 * NS), LinkLoad(10.0)),
    "D": LinkModel(step_source(60.0, 100.0), LosslessLine(50.0, 5.00346 * NS), LinkLoad(25.0)),
    "E": LinkModel(step_source(5.0, 10.0), LosslessLine(50.0, 10 * NS)),
    "F": LinkModel(step_source(10.0, 50.0), LosslessLine(50.0, 10 * NS), LinkLoad(100.0)),
}
RAMPS_NS = (5, 20, 40, 60, 80, 100, 120, 200)


@pytest.fixture(scope="module")
def stepped(tmp_path_factory):
    """Lattice cases A to F, case A with a ramp, and the ramps into an open end, in one process."""
    ramps = [
        replace(LATTICES["A"], source=step_source(10.0, 25.0, ramp_s=ramp * NS), load=LinkLoad(1e6))
        for ramp in RAMPS_NS
    ]
    ramped = replace(LATTICES["A"], source=step_source(10.0, 25.0, ramp_s=5 * NS))
    links = [*LATTICES.values(), ramped, *ramps]
    runs = [(link, 150 * NS if link in LATTICES.values() else 300 * NS, 0.1 * NS) for link in links]
    solved = solved_by_ngspice(runs, tmp_path_factory.mktemp("stepped"))
    return list(zip(links, solved, strict=True))


@pytest.mark.parametrize("case", [*LATTICES])
def test_lattice_cases(case, stepped):
    """Between the jumps: within 1e-4 of the step, which is ngspice's own tolerance, of every sample."""
    link, columns = stepped[list(LATTICES).index(case)]
    into = np.mod(columns[:, 0] / link.line.delay_s, 1.0)
    between = columns[(into > 0.1) & (into < 0.9)]
    assert len(between) > 100
    volts = link_volts(link, between[:, 0])
    assert worst_error(link, between, volts) < 1e-4


def test_the_ramped_case(stepped):
    """Case A with a ramp of 5 ns: 5.625 V at 12.5 ns, 9.84375 V at 32.5 ns, at most 11.25 V (ngspice 39)."""
    link, columns = stepped[len(LATTICES)]
    simulated_v = np.interp([12.5 * NS, 32.5 * NS], columns[:, 0], columns[:, 4])
    assert simulated_v == pytest.approx([5.625, 9.84375], abs=2e-3)
    assert link_volts(link, np.array([12.5, 32.5]) * NS).load_v == pytest.approx([5.625, 9.84375], rel=1e-9)
    assert worst_error(link, columns, link_volts(link, columns[:, 0])) < 2e-3


@pytest.mark.parametrize("ramp_ns", RAMPS_NS)
def test_the_peak_at_an_open_end(ramp_ns, stepped):
    """The table of peaks against ramp time, run anew. Tolerance 0.1 % of the step."""
    link, columns = stepped[len(LATTICES) + 1 + RAMPS_NS.index(ramp_ns)]
    ours = link_volts(link, columns[:, 0]).load_v
    assert ours.max() == pytest.approx(columns[:, 4].max(), abs=0.01)
