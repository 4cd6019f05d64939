"""Figures against circuits solved by ngspice: an RC edge, a ringing RLC, two RC stages, and a mismatched line."""

import math
import shutil
import subprocess

import numpy as np
import pytest

from restoration.engineering.captures import Trace, read_capture
from restoration.engineering.pulses import measure, measure_delay


def run(deck, nodes, step_s, stop_s, tmp_path):
    """Voltages of nodes at even steps of time, solved by ngspice."""
    if not shutil.which("ngspice"):
        pytest.fail("ngspice is not installed; install it with 'apt-get install ngspice' and run the tests again.")
    written = tmp_path / "solved.txt"
    lines = [
        "* circuit of a test", *deck, f".tran {step_s} {stop_s} 0 {step_s / 4}", ".options interp", ".control", "run",
        "set wr_singlescale", f"wrdata {written} " + " ".join(f"v({node})" for node in nodes), "quit", ".endc", ".end",
    ]  # fmt: skip
    circuit = tmp_path / "circuit.cir"
    circuit.write_text("\n".join(lines) + "\n")
    subprocess.run(["ngspice", "-b", str(circuit)], check=True, capture_output=True, timeout=60)
    return np.loadtxt(written)


def traces_of(solved, step_s):
    times = np.arange(round(solved[-1, 0] / step_s)) * step_s
    return [
        Trace(f"node {place}", 0.0, step_s, np.interp(times, solved[:, 0], solved[:, place]))
        for place in range(1, solved.shape[1])
    ]


def test_rc_edge(tmp_path):
    """1 k and 100 pF: 10 to 90 % in ln 9 RC = 219.72 ns. Tolerance 0.5 %: the solver's step and the level of a tail."""
    solved = run(["V1 a 0 PULSE(0 5 200n 0.1n 0.1n 2u 4u)", "R1 a b 1k", "C1 b 0 100p"], ["b"], 1e-9, 2.1e-6, tmp_path)
    found = measure(traces_of(solved, 1e-9)[0])

    assert found.rise_time_s.value_s == pytest.approx(math.log(9.0) * 100e-9, rel=5e-3)
    assert found.amplitude_v == pytest.approx(5.0, rel=1e-3)
    assert found.overshoot == 0.0


def test_ringing_rlc(tmp_path):
    """Series 60 ohm, 1 uH, 100 pF: damping 0.3. Overshoot 37.23 %, 10 to 90 % 13.2134 ns; ringing at 15.18 MHz.

    Tolerance 0.5 %: the source's own edge of 10 ps and the solver's step of 25 ps.
    """
    deck = ["V1 a 0 PULSE(0 1 20n 0.01n 0.01n 1u 2u)", "R1 a b 60", "L1 b c 1u", "C1 c 0 100p"]
    found = measure(traces_of(run(deck, ["c"], 0.1e-9, 400e-9, tmp_path), 0.1e-9)[0])

    assert found.overshoot == pytest.approx(0.3723, abs=2e-3)
    assert found.undershoot == pytest.approx(0.3723**2, abs=2e-3)
    assert found.rise_time_s.value_s == pytest.approx(13.2134e-9, rel=5e-3)
    natural = 1.0 / math.sqrt(1e-6 * 100e-12)
    assert found.ringing_hz == pytest.approx(natural * math.sqrt(1.0 - 0.09) / (2.0 * math.pi), rel=5e-3)
    assert found.ringing_decay_s == pytest.approx(2.0 * 1e-6 / 60.0, rel=2e-2)


def test_two_rc_stages(tmp_path):
    """Two buffered RC stages of 100 ns: 10 to 90 % in 335.7909 ns (closed form 3.357908561 RC); quadrature says 310.7.

    Tolerance 0.5 %.
    """
    deck = [
        "V1 a 0 PULSE(0 1 200n 0.1n 0.1n 4u 8u)",
        "R1 a b 1k",
        "C1 b 0 100p",
        "E1 c 0 b 0 1",
        "R2 c d 1k",
        "C2 d 0 100p",
    ]
    found = measure(traces_of(run(deck, ["d"], 1e-9, 3e-6, tmp_path), 1e-9)[0])

    assert found.rise_time_s.value_s == pytest.approx(335.7909e-9, rel=5e-3)


def test_mismatched_line(tmp_path):
    """10 V behind 25 ohm into 75 ohm, 10 ns, loaded with 225 ohm: steps 11.25, 8.4375, 9.140625 ... to 9 V.

    Overshoot at the load 25 % of the amplitude (11.25 over 9), undershoot 6.25 % (8.4375 under 9), ringing at one cycle
    in four delays (25 MHz), delay 10 ns from source end to load. Tolerance 1 % (1 ns edges); the ring is square.
    """
    deck = ["V1 s 0 PULSE(0 10 50n 1n 1n 1u 2u)", "R1 s a 25", "T1 a 0 b 0 Z0=75 TD=10n", "R2 b 0 225"]
    source, load = traces_of(run(deck, ["a", "b"], 0.1e-9, 500e-9, tmp_path), 0.1e-9)
    found = measure(load)

    assert found.amplitude_v == pytest.approx(9.0, rel=1e-2)
    assert found.maximum_v == pytest.approx(11.25, rel=1e-2)
    assert found.overshoot == pytest.approx(0.25, abs=0.01)
    assert found.undershoot == pytest.approx(0.0625, abs=0.01)
    assert found.ringing_hz == pytest.approx(25e6, rel=1e-2)
    assert measure_delay(source, load).value_s == pytest.approx(10e-9, abs=0.3e-9)


def test_a_solved_train_survives_being_written_as_a_capture(tmp_path):
    """The same figures from the arrays and from a file of six digits. Tolerance 1e-4: the digits left out."""
    deck = ["V1 a 0 PULSE(-0.4 30.6 0.3u 20n 40n 0.5u 1.5u)", "R1 a b 1k", "C1 b 0 20p"]
    trace = traces_of(run(deck, ["b"], 1e-9, 6e-6, tmp_path), 1e-9)[0]
    rows = "".join(f"{i * 1e-9:.6e},{value:.6e}\n" for i, value in enumerate(trace.values))
    written = read_capture(("s,V\n" + rows).encode()).channels[0]

    direct, read = measure(trace), measure(written)
    assert read.amplitude_v == pytest.approx(direct.amplitude_v, rel=1e-4)
    assert read.rise_time_s.value_s == pytest.approx(direct.rise_time_s.value_s, rel=1e-4)
    assert read.pulse_duration_s == pytest.approx(direct.pulse_duration_s, rel=1e-4)
    assert read.period_s == pytest.approx(1.5e-6, rel=1e-4)
