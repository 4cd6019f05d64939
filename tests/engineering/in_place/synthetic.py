"""Sites that never were: links with hidden constants, what is known of them, and what would be measured in place."""

from dataclasses import dataclass, replace

import numpy as np

from restoration.engineering.in_place import LinkCase, OtherWire, Record, WireConstants, predict
from restoration.engineering.link_model import LinkLoad, PulseSource

WIRE = WireConstants(12e-12, 0.92e-6)
BENCH_LOAD = LinkLoad(10e3, 30e-12)
PROBE = LinkLoad(10e6, 12e-12)

SPREAD_OF_DRIVES = 0.10
SPREAD_OF_WIRES = 0.05
"""Of C' and L' from wire to wire, which the fit knows nothing of."""
LENGTH_ERROR, LOAD_ERROR, BENCH_ERROR = 0.03, 0.05, 0.01
AMPLITUDE_NOISE, EDGE_NOISE, OVERSHOOT_NOISE = 0.017, 0.04, 0.01
"""Standard deviations of an instrument in place, stated with each record as they are."""


@dataclass(frozen=True)
class SyntheticLink:
    """What the site knows of a link, and what an instrument will read at its load."""

    record: Record
    amplitude_v: float


@dataclass
class _Site:
    """The hidden constants of one site."""

    luck: np.random.Generator

    def __post_init__(self):
        self.capacitance = np.exp(self.luck.uniform(-0.25, 0.25))
        self.inductance = np.exp(self.luck.uniform(-0.25, 0.25))
        self.drive = np.exp(self.luck.uniform(-0.1, 0.45))

    def about(self, value, spread):
        return float(value * np.exp(self.luck.normal(0.0, spread)))

    def between(self, low, high):
        return float(np.exp(self.luck.uniform(np.log(low), np.log(high))))

    def true_wire(self):
        return WireConstants(
            self.about(WIRE.capacitance_f_per_m * self.capacitance, SPREAD_OF_WIRES),
            self.about(WIRE.inductance_h_per_m * self.inductance, SPREAD_OF_WIRES),
        )

    def true_load(self, load):
        return LinkLoad(self.about(load.resistance_ohm, LOAD_ERROR), self.about(load.capacitance_f, LOAD_ERROR))

    def true_of(self, wire):
        length_m = self.about(wire.length_m, LENGTH_ERROR)
        return OtherWire(wire.code, length_m, self.true_wire(), self.true_load(wire.load))


def links_of_a_site(seed, count=200):
    """So many links on sources with one to four wires, in an order that tells nothing."""
    site = _Site(np.random.default_rng(seed))
    links = []
    while len(links) < count:
        links.extend(_links_of_a_source(site, f"S{len(links):03}"))
    links = links[:count]
    site.luck.shuffle(links)
    return links


def _links_of_a_source(site, drive):
    luck = site.luck
    wires = [
        OtherWire(
            f"{drive}/{at}",
            site.between(0.4, 9.0),
            WIRE,
            LinkLoad(site.between(2.7e3, 150e3), site.between(8e-12, 60e-12)),
        )
        for at in range(int(luck.integers(1, 5)))
    ]
    true_wires = [site.true_of(wire) for wire in wires]
    drawn_ohm = site.between(120.0, 2000.0)
    true_ohm = site.about(drawn_ohm * site.drive, SPREAD_OF_DRIVES)
    edge_s, bench_v = site.between(60e-9, 250e-9), float(luck.choice([-1.0, 1.0])) * site.between(8.0, 40.0)
    pulse = PulseSource(0.0, 1.0, site.between(0.8e-6, 3e-6), edge_s, 1.2 * edge_s, drawn_ohm)
    true_v = bench_v * (1 + true_ohm / BENCH_LOAD.resistance_ohm)
    drawn_v = site.about(bench_v, BENCH_ERROR) * (1 + drawn_ohm / BENCH_LOAD.resistance_ohm)
    known = replace(pulse, active_v=drawn_v)
    true = replace(pulse, active_v=true_v, resistance_ohm=true_ohm)
    return [_measured(site, drive, _case(known, wires, at), _case(true, true_wires, at)) for at in range(len(wires))]


def _case(source, wires, at):
    here, others = wires[at], (*wires[:at], *wires[at + 1 :])
    return LinkCase(
        source, here.length_m, here.wire, here.load, others, probe=PROBE, bench_load=BENCH_LOAD, code=here.code
    )


def _measured(site, drive, known, true):
    figures = predict(true).load
    measured = {
        "amplitude": _read(site, figures.amplitude_v, AMPLITUDE_NOISE),
        "rise_time": _read(site, figures.rise_time_s, EDGE_NOISE),
        "fall_time": _read(site, figures.fall_time_s, EDGE_NOISE),
        "overshoot": (max(0.0, figures.overshoot + site.luck.normal(0.0, OVERSHOOT_NOISE)), OVERSHOOT_NOISE),
    }
    record = Record(known.code, known, measured, wire="tinned copper", drive=drive)
    return SyntheticLink(record, measured["amplitude"][0])


def _read(site, value, noise):
    found = value * (1.0 + site.luck.normal(0.0, noise))
    return found, noise * found
