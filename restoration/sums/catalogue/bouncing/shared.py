"""What the sums of a wire ask alike."""

from restoration.engineering.figures import METRES, OHMS, SECONDS_PER_METRE
from restoration.sums.declared import Quantity, Span

POINTS = 800
NO_LOSS = "The wire loses nothing and is the same all along."
ONE_LOAD = "One wire from one source to one load; branches and what else hangs on the source are not in it."

LENGTH = Quantity(name="length_m", label="Length of the wire", unit=METRES, example="4.6 m")
IMPEDANCE = Quantity(
    name="impedance_ohm", label="Characteristic impedance of the wire", unit=OHMS, example="280",
    help="A single wire over a chassis has some 220 to 320 Ω.",
)  # fmt: skip
DELAY_PER_METRE = Quantity(
    name="delay_s_per_m", label="Delay of each metre", unit=SECONDS_PER_METRE, example="4",
    help="In ns for each metre: 3.3 bare in air, some 4 insulated, 5 in solid polythene.",
)  # fmt: skip
SOURCE_OHM = Quantity(name="source_ohm", label="Resistance of the source", unit=OHMS, example="150", span=Span.ZERO_UP)
