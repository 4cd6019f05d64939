"""Links, limits and offers for tests of proposals, and the whole list reckoned by brute force."""

import math
import random

import numpy as np
from hypothesis import strategies as st

from restoration.engineering.in_place import Arrangement, LinkCase, OtherWire, WireConstants
from restoration.engineering.in_place.proposals import PartOffer
from restoration.engineering.in_place.proposals.aims import SPARE, Aims
from restoration.engineering.in_place.proposals.judging import Judge
from restoration.engineering.in_place.proposals.space import KINDS, ROLE_ORDER, Shelf, everything, joined
from restoration.engineering.in_place.proposals.steady import shares, variants_of
from restoration.engineering.in_place.proposals.waves import Fittings
from restoration.engineering.limits import Limit, Quantity
from restoration.engineering.link_model import LinkLoad, PulseSource

WIRE = WireConstants.of_line(280.0, 4e-9)
LIMITS = {
    Quantity.AMPLITUDE: Limit(17.0, 20.0, 23.0),
    Quantity.OVERSHOOT: Limit(most=0.10),
    Quantity.RISE_TIME: Limit(most=150e-9),
    Quantity.FALL_TIME: Limit(most=200e-9),
    Quantity.PULSE_DURATION: Limit(1.8e-6, 2e-6, 2.2e-6),
}


def link(active_v=20.0, source_ohm=40.0, edge_s=45e-9, *, others=0, length_m=4.6, arrangement=None, **more):
    """A link of 280 Ω wire with a grid at its end; as it stands it rings."""
    source = PulseSource(0.0, active_v, 2e-6, edge_s, 1.6 * edge_s, source_ohm, period_s=more.pop("period_s", 10e-6))
    hung = tuple(OtherWire(f"T-{n}", 2.0 + n, WIRE, LinkLoad(100e3, 22e-12)) for n in range(others))
    load = more.pop("load", LinkLoad(100e3, 34e-12))
    return LinkCase(source, length_m, WIRE, load, hung, arrangement or Arrangement(), **more)


def resistor(ohm, tolerance=0.05, **more):
    """A resistor on offer that there is enough of."""
    more.setdefault("key", f"R{ohm:g}/{tolerance:g}/{more.get('where', 'stores')}")
    return PartOffer("resistor", float(ohm), tolerance, **more)


def capacitor(farads, tolerance=0.1, **more):
    """A capacitor on offer that there is enough of."""
    more.setdefault("key", f"C{farads:g}/{tolerance:g}/{more.get('where', 'stores')}")
    return PartOffer("capacitor", float(farads), tolerance, **more)


def some_offers(luck: random.Random, resistors: int, capacitors: int):
    """Offers of all sorts: rated or not, few or many, from stores or bought, values twice over."""
    found = []
    for number in range(resistors + capacitors):
        is_resistor = number < resistors
        value = luck.choice((1.0, 1.5, 2.2, 3.3, 4.7, 6.8, 8.2))
        value *= 10.0 ** luck.randint(1, 4) if is_resistor else 10.0 ** -luck.randint(9, 12) * luck.choice((1.0, 2.0))
        found.append(
            PartOffer(
                "resistor" if is_resistor else "capacitor",
                value,
                luck.choice((0.01, 0.05, 0.2)),
                luck.choice((None, 0.125, 0.5, 2.0)),
                luck.choice((None, 15.0, 250.0)),
                luck.choice((None, 0, 1, 2, 9)),
                luck.choice(("stores", "E24")),
                f"line {number}",
            )
        )
    return tuple(found)


def some_limits(luck: random.Random):
    """Limits of all sorts, some of which nothing meets."""
    nominal_v = luck.choice((6.0, 12.0, 18.0, 25.0))
    limits = {
        Quantity.AMPLITUDE: luck.choice(
            (Limit(0.85 * nominal_v, nominal_v, 1.15 * nominal_v), Limit(nominal=nominal_v), Limit(least=nominal_v))
        ),
        Quantity.OVERSHOOT: Limit(most=luck.choice((0.03, 0.1, 0.3))),
        Quantity.UNDERSHOOT: Limit(most=luck.choice((0.03, 0.2))),
        Quantity.RISE_TIME: Limit(most=luck.choice((40e-9, 90e-9, 200e-9))),
        Quantity.FALL_TIME: Limit(most=luck.choice((60e-9, 150e-9, 300e-9))),
        Quantity.PULSE_DURATION: Limit(1.9e-6, 2e-6, 2.1e-6),
        Quantity.HIGH_LEVEL: Limit(most=luck.choice((10.0, 30.0))),
        Quantity.DELAY: Limit(most=60e-9),
    }
    return {quantity: limit for quantity, limit in limits.items() if luck.random() < 0.6}


def some_link(luck: random.Random):
    """A link of all sorts: either polarity, stiff or weak, bare or with parts on it, alone or among others."""
    on_it = luck.choice(
        (
            Arrangement(),
            Arrangement(series_ohm=47.0),
            Arrangement(shunt_ohm=680.0),
            Arrangement(attenuator_ohm=470.0, attenuator_f=20e-12, shunt_ohm=1000.0),
            Arrangement(source_shunt_ohm=2200.0, shunt_ohm=330.0, shunt_coupling_f=470e-12),
        )
    )
    return link(
        luck.choice((-1.0, 1.0)) * luck.choice((12.0, 20.0, 33.0)),
        luck.choice((40.0, 150.0, 470.0)),
        luck.choice((30e-9, 80e-9)),
        others=luck.choice((0, 0, 1, 2)),
        length_m=luck.choice((0.8, 4.6, 11.0)),
        arrangement=on_it,
        drive_most_a=luck.choice((None, 0.05, 0.15)),
        period_s=luck.choice((None, 10e-6)),
        load=luck.choice((LinkLoad(100e3, 34e-12), LinkLoad(4700.0, 60e-12), LinkLoad(1e6, 20e-12, 1000.0))),
    )


lucks = st.randoms(use_true_random=False)


def judge_of(case, limits, offers, derating=0.5):
    """The judge of a link, as a search makes it."""
    now = shares(variants_of(case, Fittings.of((case.arrangement,))))
    amplitude_v = abs(case.source.step_v) * float(now.load[0])
    aims = Aims.of(limits, amplitude_v, case.drive_most_a, SPARE)
    return Judge(case, aims, Shelf.of(offers), derating)


def by_brute_force(judge, count):
    """The list as the docstring of `propose` has it: every candidate reckoned in time, sorted, and struck out."""
    lots = [lot for lot in everything(judge.shelf, judge.case.arrangement, judge.case.load) if lot.count]
    if not lots:
        return []
    every = joined(lots)
    every = every.take(judge.allowed(every))
    rows = _rows(every, judge.scores(every))
    known = {(row["kind"], row["base"], row["offers"]): row["score"][:3] for row in rows}
    now = tuple(judge.now_score[0, :3])
    kept = [row for row in rows if row["score"][:3] < now and not _is_idle(row, known)]
    chosen = []
    for row in sorted(kept, key=lambda row: row["score"]):
        alike = [other for other in chosen if other["kind"] == row["kind"]]
        if len(alike) < 3 and not any(_near(row["values"], other["values"]) for other in alike):
            chosen.append(row)
    return [row["score"] for row in chosen if _is_listed(row, chosen[0])][:count]


def _rows(every, scores):
    values = np.stack([getattr(every.fitted, role) for role in ROLE_ORDER], axis=1)
    return [
        {
            "kind": KINDS[every.kind[at]],
            "base": int(every.base[at]),
            "offers": tuple(every.offers[at].tolist()),
            "values": tuple(values[at].tolist()),
            "score": tuple(scores[at].tolist()),
        }
        for at in range(every.count)
    ]


def _is_idle(row, known):
    """Whether a part left out, as far as the docstring goes, would do as well."""
    for kind, kept in (
        ("series damper", ("series_ohm",)),
        ("shunt", ("shunt_ohm",)),
        ("divider", ("attenuator_ohm", "shunt_ohm")),
    ):
        if kind not in _LESS[row["kind"]]:
            continue
        offers = tuple(offer if role in kept else -1 for role, offer in zip(ROLE_ORDER, row["offers"], strict=True))
        if known.get((kind, row["base"], offers), (math.inf,)) <= row["score"][:3]:
            return True
    return False


_LESS = {
    "nothing fitted": (),
    "series damper": (),
    "shunt": (),
    "coupled termination": (),
    "divider": ("shunt",),
    "divider kept flat": ("shunt", "divider"),
    "series damper with shunt": ("shunt", "series damper"),
}


def _near(values, others):
    return all(
        one == other or (math.isfinite(one + other) and one <= 1.15 * other and other <= 1.15 * one)
        for one, other in zip(values, others, strict=True)
    )


def _is_listed(row, best):
    meets_everything = not any(best["score"][:3])
    return row["score"][:2] == best["score"][:2] and not (meets_everything and row["score"][3] > best["score"][3])
