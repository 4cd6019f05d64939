"""The wires of a source and their loads: from the wire list, from kinds of wire, from the drawings."""

import math

from django.urls import reverse

from restoration.conditioning.known.gathering import Gathered
from restoration.conditioning.known.told import Telling
from restoration.engineering.in_place.arrangement import Arrangement
from restoration.engineering.in_place.case import OtherWire, WireConstants
from restoration.engineering.link_model import LinkLoad
from restoration.engineering.plots import format_si
from restoration.machine.lines import constants_of as constants_of_kind
from restoration.machine.models import Interconnect, TerminalFigures
from restoration.proving.wording import load_in_words

# Where nothing is written down: of the size that such machines had, common practice, no source.
ASSUMED_IMPEDANCE_OHM, ASSUMED_DELAY_S_PER_M = 280.0, 4.0e-9
ASSUMED_LOAD = LinkLoad(resistance_ohm=1e6, capacitance_f=20e-12)
ASSUMED_LENGTH_M = 1.0
ASSUMED_WIRE = WireConstants.of_line(ASSUMED_IMPEDANCE_OHM, ASSUMED_DELAY_S_PER_M)
ASSUMED_WIRE_SAID = (
    f"{format_si(ASSUMED_IMPEDANCE_OHM, 'Ω')} and {ASSUMED_DELAY_S_PER_M * 1e9:g} ns a metre are assumed, as of a "
    "single wire over a frame"
)
MANY = 6  # other loads that are named one by one


def length_of(rows: Gathered, told: Telling) -> float | None:
    """The length of the wire, or None: without it nothing can be predicted."""
    link = rows.link
    page = reverse("machine:interconnect-edit", args=[link.code])
    if link.length_m is None:
        told.miss(f"No length is written down for link {link.code}.", page, "Write down its length")
    elif link.length_m == 0:
        told.miss(f"Link {link.code} is written down as 0 m long; a wire has a length.", page, "Write down its length")
    else:
        told.know("Length", f"{link.length_m:g} m", "wire list")
        return link.length_m
    return None


def wire_of(rows: Gathered, link: Interconnect, told: Telling, *, is_this: bool = False) -> WireConstants:
    """The constants of a wire by the kind that the wire list names, else assumed ones."""
    kind = rows.wires.get(link.wire)
    if kind is None:
        named = f"what kind of wire “{link.wire}” is" if link.wire else f"which wire link {link.code} is made of"
        told.assume(f"Nothing is written down of {named}, so {ASSUMED_WIRE_SAID}.")
        return ASSUMED_WIRE
    try:
        wire = constants_of_kind(kind)
    except ValueError as refused:
        told.assume(f"What is written down of wire “{kind.name}” cannot be ({refused}), so {ASSUMED_WIRE_SAID}.")
        return ASSUMED_WIRE
    if is_this:
        says = f"{kind.name}: {format_si(wire.impedance_ohm, 'Ω')}, {wire.delay_s_per_m * 1e9:.2g} ns a metre"
        told.know("Wire", says, f"kind of wire, {kind.get_form_display()}, reckoned from its measures")
    return wire


def load_of(rows: Gathered, link: Interconnect, told: Telling) -> LinkLoad:
    """What a load terminal asks of its source, by its drawing; what is not written there is assumed."""
    written = rows.written.get(link.load_id)
    if written is None or (written.load_ohm is None and written.load_f is None):
        told.assume(
            f"No load is written down for {_terminal(link, written)}, so "
            f"{load_in_words(ASSUMED_LOAD.resistance_ohm, ASSUMED_LOAD.capacitance_f)} is assumed."
        )
        stopper = written.grid_stopper_ohm if written else None
        return LinkLoad(ASSUMED_LOAD.resistance_ohm, ASSUMED_LOAD.capacitance_f, grid_stopper_ohm=stopper or 0.0)
    if written.load_f is None:
        told.assume(f"No capacitance is written down for {_terminal(link, written)}, so none is reckoned with.")
    return LinkLoad(
        written.load_ohm or math.inf, written.load_f or 0.0, grid_stopper_ohm=written.grid_stopper_ohm or 0.0
    )


def tell_load(rows: Gathered, load: LinkLoad, told: Telling) -> None:
    """Tell the load of this wire, where it is written down."""
    written = rows.written.get(rows.link.load_id)
    if written is not None and not (written.load_ohm is None and written.load_f is None):
        told.know("Load", load_words(load), whence_of(written))


def load_words(load: LinkLoad) -> str:
    """Write a load: 1 MΩ ∥ 20 pF behind 1 kΩ."""
    ohm = load.resistance_ohm if math.isfinite(load.resistance_ohm) else None
    behind = f" behind {format_si(load.grid_stopper_ohm, 'Ω')}" if load.grid_stopper_ohm else ""
    return f"{load_in_words(ohm, load.capacitance_f or None)}{behind}"


def whence_of(written: TerminalFigures) -> str:
    """Say where a figure of a terminal is written: drawing KS-216 terminal 7, from the drawing."""
    return f"{written.design.number} terminal {written.terminal}, {written.get_basis_display()}"


def _terminal(link: Interconnect, written: TerminalFigures | None) -> str:
    if written is not None:
        return f"terminal {written.terminal} of {written.design.number}"
    return f"terminal {link.load.code} of slot {link.load.slot.code}"


def others_of(rows: Gathered, told: Telling) -> tuple[OtherWire, ...]:
    """The other wires that are recorded as joined to the same source, with the parts on them."""
    others = [link for link, is_joined in rows.on_source if is_joined and link.pk != rows.link.pk]
    apart = [link for link, is_joined in rows.on_source if not is_joined and link.pk != rows.link.pk]
    if apart:
        names = ", ".join(link.code for link in apart[:MANY]) + (" and others" if len(apart) > MANY else "")
        are = "is" if len(apart) == 1 else "are"
        told.assume(f"{names} on the same source {are} not recorded as joined, and left out.")
    this_joined = any(is_joined for link, is_joined in rows.on_source if link.pk == rows.link.pk)
    if not this_joined:
        told.assume(f"Link {rows.link.code} is not recorded as joined; it is reckoned as if it were.")
    wires = tuple(_other(rows, link, told) for link in others)
    said = "; ".join(f"{wire.code}, {wire.length_m:g} m, {load_words(wire.load)}" for wire in wires[:MANY])
    more = f"; and {len(wires) - MANY} more" if len(wires) > MANY else ""
    told.know("Other loads on the source", f"{len(wires)}: {said}{more}" if wires else "none", "joining records")
    return wires


def _other(rows: Gathered, link: Interconnect, told: Telling) -> OtherWire:
    length_m = link.length_m or 0.0
    if not length_m:
        told.assume(f"No length is written down for link {link.code}, so {ASSUMED_LENGTH_M:g} m is assumed.")
        length_m = ASSUMED_LENGTH_M
    fitted = Arrangement.of_dict(rows.parts_on(link))
    return OtherWire(link.code, length_m, wire_of(rows, link, told), load_of(rows, link, told), fitted)
