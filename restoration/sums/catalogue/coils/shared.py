"""What the sums of coils ask alike."""

from restoration.engineering.figures import MILLIMETRES
from restoration.sums.declared import Quantity, Span
from restoration.sums.units import CELSIUS, WireInput

WIRE = WireInput(name="wire", label="Wire", example="26 SWG", help="26 SWG, AWG 30, or the bare diameter: 0.2 mm.")
FORMER = Quantity(name="former_m", label="Diameter of the former", unit=MILLIMETRES, example="25 mm")
TEMPERATURE = Quantity(name="temperature_c", label="Temperature", unit=CELSIUS, example="20 °C", span=Span.ANY)
COPPER = "IEC 60028: 1/58 Ω mm² a metre at 20 °C, 0.00393 for each degree"
BY_HAND = "A coil wound by hand differs by 5 to 10 % (common practice, no source): trim the first-off."
