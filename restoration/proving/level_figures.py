"""Whether the levels and the amplitude that were read by eye fit one another."""

from collections.abc import Iterable

from restoration.machine.models.limits import Quantity
from restoration.proving.measuring import Reading
from restoration.proving.quantities import reads

AGREE_WITHIN = 0.10  # of the amplitude: about three times what is read by eye, common practice, no source


def ask_whether_misread(readings: Iterable[Reading]) -> str:
    """Ask which of low level, high level and amplitude was misread, where the step between them is another.

    >>> ask_whether_misread([Reading("low_level", 0.0), Reading("high_level", 20.0), Reading("amplitude", 12.0)])
    'From low level 0 V to high level 20 V is 20 V, and the amplitude is given as 12 V: which of them was misread?'
    >>> ask_whether_misread([Reading("low_level", -1.0), Reading("high_level", 19.0), Reading("amplitude", 19.0)])
    ''
    """
    values = {one.quantity: one.value for one in readings}
    low_v, high_v, amplitude_v = map(values.get, (Quantity.LOW_LEVEL, Quantity.HIGH_LEVEL, Quantity.AMPLITUDE))
    if low_v is None or high_v is None or amplitude_v is None:
        return ""
    step_v = abs(high_v - low_v)
    if abs(step_v - abs(amplitude_v)) <= AGREE_WITHIN * abs(amplitude_v):
        return ""
    low, high, step, amplitude = (reads("amplitude", value) for value in (low_v, high_v, step_v, amplitude_v))
    return (
        f"From low level {low} to high level {high} is {step}, and the amplitude is given as {amplitude}: "
        "which of them was misread?"
    )
