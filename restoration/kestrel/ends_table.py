"""What the drawings of the tide computer say of terminals as ends of a wire, and of the wires.

The figures are the invention of this demonstration. The drawings reckon the outputs stiffer than they are, as the
records of the site come to show.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from restoration.kestrel.joined import LOAD_F, LOAD_OHM, drive_ohm
from restoration.kestrel.plan_records import DesignPlan

RECKONED = 0.86
STRONG = frozenset(("clock", "gate", "drum", "write", "printer"))
STRONG_A, PLAIN_A = 0.08, 0.045


@dataclass(frozen=True)
class EndPlan:
    """One terminal of a drawing: what it drives with, or what it asks of whoever drives it."""

    terminal: str
    drive_ohm: float | None = None
    drive_most_a: float | None = None
    load_ohm: float | None = None
    load_f: float | None = None


@dataclass(frozen=True)
class WirePlan:
    """A kind of wire as the wire list names it; lengths in metres."""

    name: str
    form: str
    conductor_m: float
    spacing_m: float
    permittivity: float
    remarks: str


WIRES = (
    WirePlan(
        "single, 1/0.6 tinned, PVC",
        "over chassis",
        0.6e-3,
        20e-3,
        1.3,
        "Looms lie about 20 mm from the frame; the covering slows the wave a little.",
    ),
    WirePlan("screened, 75 ohm", "screened", 0.6e-3, 3.9e-3, 2.25, "Solid polythene, screen earthed at the source."),
)


def ends_of(design: DesignPlan) -> Iterator[EndPlan]:
    """Every terminal of a drawing."""
    for port in design.ports:
        if port.direction == "out":
            reckoned_ohm = float(f"{drive_ohm((design.number, port.mark), port.kind) * RECKONED:.1e}")
            yield EndPlan(port.mark, reckoned_ohm, STRONG_A if port.kind in STRONG else PLAIN_A)
        else:
            yield EndPlan(port.mark, load_ohm=LOAD_OHM, load_f=LOAD_F)
