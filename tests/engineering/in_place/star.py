"""Three wires on one source, every one a true line, through a circuit simulator: what lumping two of them errs by."""

import subprocess

import numpy as np

from restoration.engineering.link_model import EndVolts

STAR = """* a star of wires
V e 0 PULSE({rest_v} {active_v} 0 {rise_s} {fall_s} {top_s} 1)
R e s {source_ohm}
{wires}
.options reltol=1e-5 abstol=1e-12 vntol=1e-8
.end
"""
WIRE = """R{at}s s a{at} {series_ohm}
T{at} a{at} 0 b{at} 0 Z0={impedance_ohm} TD={delay_s}
R{at}l b{at} 0 {load_ohm}
C{at}l b{at} 0 {load_f}
"""
ALL = """* all stars, one after another
.control
set wr_singlescale
{runs}
quit 0
.endc
.end
"""
RUN = """source {folder}/star{n}.cir
tran {step_s} {stop_s} 0 {step_s}
linearize v(s) v(b0)
wrdata {folder}/out{n}.txt v(s) v(b0)
destroy all
remcirc
"""


def simulate_stars(cases, folder, *, step_s, stop_s):
    """Volts at the source terminal and at the load of the first wire of each case, from one run of ngspice."""
    for n, case in enumerate(cases):
        (folder / f"star{n}.cir").write_text(_star(case))
    runs = "".join(RUN.format(folder=folder, n=n, step_s=step_s, stop_s=stop_s) for n in range(len(cases)))
    (folder / "all.cir").write_text(ALL.format(runs=runs))
    subprocess.run(["ngspice", "-b", str(folder / "all.cir")], check=True, capture_output=True, timeout=60)
    tables = [np.loadtxt(folder / f"out{n}.txt") for n in range(len(cases))]
    return [_ends(*table.T[:3]) for table in tables]


def _ends(times_s, source_v, load_v):
    return EndVolts(times_s, source_v, source_v, load_v, load_v, load_v)


def _star(case):
    source = case.source
    wires = "".join(_wire(at, wire) for at, wire in enumerate((case, *case.others)))
    return STAR.format(
        wires=wires,
        rest_v=source.rest_v,
        active_v=source.active_v,
        rise_s=source.rise_s,
        fall_s=source.fall_s,
        top_s=source.duration_s - (source.rise_s + source.fall_s) / 2,
        source_ohm=source.resistance_ohm,
    )


def _wire(at, wire):
    return WIRE.format(
        at=at,
        series_ohm=wire.arrangement.series_ohm or 1e-6,
        impedance_ohm=wire.wire.impedance_ohm,
        delay_s=wire.length_m * wire.wire.delay_s_per_m,
        load_ohm=wire.load.resistance_ohm,
        load_f=wire.load.capacitance_f,
    )
