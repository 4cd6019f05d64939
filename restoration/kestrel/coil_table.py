"""How the coils of the tide computer are wound; all recipes are the invention of this demonstration."""

from dataclasses import dataclass


@dataclass(frozen=True)
class CoilPlan:
    """One kind of coil of the tide computer; lengths in metres."""

    code: str
    title: str
    purpose: str
    designs: tuple[str, ...]
    winding: str
    former_m: float
    wire: str
    bare_m: float
    covered_m: float
    turns: int
    layers: int = 1
    pitch_m: float | None = None
    winding_length_m: float | None = None
    wanted_h: float | None = None
    tolerance: float | None = None
    body_ohm: float | None = None
    body_tolerance: float | None = None
    body_w: float | None = None
    stray_f: float | None = None
    finish: str = ""


COILS = (
    CoilPlan(
        "KL-1",
        "Edge coil of the pulse former",
        "In the anode lead of V3; it quickens the leading edge and must not ring.",
        ("KS-216",),
        "single layer",
        6.3e-3,
        "36 SWG",
        0.193e-3,
        0.229e-3,
        41,
        winding_length_m=12e-3,
        wanted_h=5.6e-6,
        tolerance=0.10,
        body_ohm=680.0,
        body_tolerance=0.20,
        body_w=1.0,
        stray_f=9e-12,
        finish="Shellac, two coats, dried overnight; ends soldered to the leads of the resistor.",
    ),
    CoilPlan(
        "KL-2",
        "Peaking coil of the mark amplifier",
        "Lifts the top of the band, so that the marks of the drum stay sharp.",
        ("KS-209",),
        "multilayer",
        8.0e-3,
        "38 SWG",
        0.152e-3,
        0.185e-3,
        240,
        layers=6,
        winding_length_m=8e-3,
        wanted_h=350e-6,
        tolerance=0.10,
        stray_f=15e-12,
        finish="Paper between layers, dipped in wax.",
    ),
    CoilPlan(
        "KL-3",
        "Damped coil of the clock shaper",
        "Shapes the late clock; wound on its damping resistor.",
        ("KS-203",),
        "single layer",
        5.6e-3,
        "38 SWG",
        0.152e-3,
        0.185e-3,
        51,
        winding_length_m=12e-3,
        wanted_h=7.0e-6,
        tolerance=0.10,
        body_ohm=470.0,
        body_tolerance=0.20,
        body_w=0.5,
        stray_f=14e-12,
        finish="Shellac, two coats.",
    ),
    CoilPlan(
        "KL-4",
        "Tuning coil of the clock oscillator",
        "With 470 pF it swings at the rhythm of the tide clock.",
        ("KS-201",),
        "single layer",
        25.4e-3,
        "28 SWG",
        0.376e-3,
        0.427e-3,
        54,
        winding_length_m=28e-3,
        wanted_h=54e-6,
        tolerance=0.05,
        stray_f=470e-12,
        finish="Wound tight on a paxolin tube, ends through holes; no varnish near the middle, for trimming.",
    ),
    CoilPlan(
        "KL-5",
        "Choke of the printer magnets",
        "Keeps the kick of the magnets off the HT rail.",
        ("KS-244",),
        "multilayer",
        12.0e-3,
        "32 SWG",
        0.274e-3,
        0.315e-3,
        400,
        layers=10,
        winding_length_m=14e-3,
        wanted_h=1.4e-3,
        tolerance=0.20,
        finish="Taped every second layer.",
    ),
)
