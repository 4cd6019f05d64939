"""Links as decks for ngspice, many in one process, and the traces it gives."""

import math
import shutil
import subprocess

import numpy as np
import pytest

OPEN_OHM = 1e9
OPTIONS = "reltol=1e-4 abstol=1e-10 vntol=1e-7"
POINTS = ("source_v", "line_start_v", "line_end_v", "load_v", "grid_v")


class Deck:
    """Parts between nodes, only those a link has, and the nodes of the five points as they come."""

    def __init__(self):
        self.lines, self.nodes = [], ["s"]

    def part(self, kind, one, other, value):
        """A part, unless it does nothing: an infinite resistance, a capacitance of nought."""
        if 0 < value < math.inf:
            self.lines.append(f"{kind}{len(self.lines)} {one} {other} {value}")

    def onwards(self, node, ohm):
        """The next node behind a resistor, or the same one where there is none."""
        self.part("R", self.nodes[-1], node, ohm)
        self.nodes.append(node if ohm else self.nodes[-1])

    def source(self, source):
        top_s = source.duration_s - (source.rise_s + source.fall_s) / 2
        pulse = f"{source.rest_v} {source.active_v} {source.start_s} {source.rise_s} {source.fall_s} {top_s} 1"
        self.lines.append(f"Vs {'e' if source.resistance_ohm else 's'} 0 PULSE({pulse})")
        self.part("R", "e", "s", source.resistance_ohm)


def deck(number, link):
    """The link's circuit as ngspice takes it, and the nodes of the five points."""
    made, load = Deck(), link.load
    made.source(link.source)
    made.part("R", "s", "0", link.source_load_ohm)
    made.part("C", "s", "0", link.source_load_f)
    made.part("R", "s", "0", link.source_shunt_ohm)
    made.onwards("a", link.series_ohm)
    made.lines.append(f"T1 {made.nodes[-1]} 0 b 0 Z0={link.line.impedance_ohm} TD={link.line.delay_s}")
    made.nodes.append("b")
    made.onwards("l", link.attenuator_ohm)
    made.part("C", "b", "l", link.attenuator_f)
    is_coupled = math.isfinite(link.shunt_coupling_f)
    made.part("R", made.nodes[-1], "k" if is_coupled else "0", link.shunt_ohm)
    made.part("C", "k", "0", link.shunt_coupling_f)
    made.onwards("g", load.grid_stopper_ohm)
    made.part("R", made.nodes[-1], "0", min(load.resistance_ohm, OPEN_OHM))
    made.part("C", made.nodes[-1], "0", load.capacitance_f)
    return "\n".join([f"* link {number}", *made.lines, f".options {OPTIONS}", ".end", ""]), made.nodes


def solved_by_ngspice(runs, folder):
    """For each (link, until, longest step): times and the five points as columns, at ngspice's own times."""
    if not shutil.which("ngspice"):
        pytest.fail("ngspice is not installed; install it with 'apt-get install ngspice' and run the tests again.")
    orders = ["* many links", ".control", "set wr_singlescale"]
    for number, (link, until_s, step_s) in enumerate(runs):
        circuit, nodes = deck(number, link)
        (folder / f"{number}.cir").write_text(circuit)
        orders += [
            f"source {folder}/{number}.cir",
            f"tran {step_s} {until_s} 0 {step_s}",
            f"wrdata {folder}/{number}.txt {' '.join(f'v({node})' for node in nodes)}",
            "remcirc",
            "destroy all",
        ]
    (folder / "all.cir").write_text("\n".join([*orders, "quit 0", ".endc", ".end", ""]))
    subprocess.run(
        ["ngspice", "-b", str(folder / "all.cir")],
        check=True,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        timeout=120,
    )
    return [rising(np.loadtxt(folder / f"{number}.txt")) for number in range(len(runs))]


def rising(columns):
    """Rows whose time is after the row before."""
    later = np.concatenate(([True], np.diff(columns[:, 0]) > 0))
    return columns[later]
