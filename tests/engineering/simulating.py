"""Circuits solved by ngspice, the outside reference for what is worked out here in closed form."""

import shutil
import subprocess

import numpy as np
import pytest


def solve_circuit(parts, nodes, folder, *, step_s=None, stop_s=None):
    """Volts of the nodes: one row at rest, or with a step and a stop one row for each step, the time in front."""
    if not shutil.which("ngspice"):
        pytest.fail("ngspice is not installed; install it with 'apt-get install ngspice' and run the tests again.")
    written, circuit = folder / "solved.txt", folder / "circuit.cir"
    volts = " ".join(f"v({node})" for node in nodes)
    analysis = ["op"] if step_s is None else [f"tran {step_s} {stop_s} 0 {step_s}", f"linearize {volts}"]
    lines = [
        "* circuit of a test", *parts, ".options reltol=1e-5 abstol=1e-13 vntol=1e-9", ".control", *analysis,
        "set wr_singlescale", "set numdgt=12", f"wrdata {written} {volts}", "quit 0", ".endc", ".end",
    ]  # fmt: skip
    circuit.write_text("\n".join(lines) + "\n")
    subprocess.run(["ngspice", "-b", str(circuit)], check=True, capture_output=True, timeout=60)
    return np.atleast_2d(np.loadtxt(written))
