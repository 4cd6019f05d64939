"""Plain capture files in the shapes oscilloscopes write them, so that the demonstration reads real bytes."""

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

Samples = NDArray[np.float64]


def write_scope_csv(shape: str, start_s: float, interval_s: float, channels: Mapping[str, Samples]) -> bytes:
    """The bytes of a capture: `two rows`, `keyed` or `increment`, channels by name, volts and seconds.

    `two rows` has names and units above engineering exponents; `keyed` a header of `key,CH1:value`
    lines; `increment` numbers its samples and states start and increment once.
    """
    writers = {"two rows": _two_rows, "keyed": _keyed, "increment": _increment}
    if shape not in writers:
        raise ValueError(f"There is no capture shape {shape!r}; the shapes are {', '.join(writers)}.")
    lengths = {len(volts) for volts in channels.values()}
    if len(lengths) != 1 or 0 in lengths:
        raise ValueError("Every channel of a capture holds the same number of samples, one or more.")
    if not interval_s > 0:
        raise ValueError(f"The sample interval must be more than zero; {interval_s} s was given.")
    return writers[shape](start_s, interval_s, channels).encode("ascii")


def _rows(first: list[str], channels: Mapping[str, Samples], number: str) -> list[str]:
    columns = [[number % value for value in volts.tolist()] for volts in channels.values()]
    return [",".join(row) for row in zip(first, *columns, strict=True)]


def _times(start_s: float, interval_s: float, channels: Mapping[str, Samples], number: str) -> list[str]:
    count = len(next(iter(channels.values())))
    return [number % (start_s + index * interval_s) for index in range(count)]


def _two_rows(start_s: float, interval_s: float, channels: Mapping[str, Samples]) -> str:
    head = ["x-axis," + ",".join(name.removeprefix("CH") for name in channels), "second" + ",Volt" * len(channels)]
    rows = _rows(_times(start_s, interval_s, channels, "%+.9E"), channels, "%+.6E")
    return "\n".join([*head, *rows, ""])


def _keyed(start_s: float, interval_s: float, channels: Mapping[str, Samples]) -> str:
    count = len(next(iter(channels.values())))
    names = list(channels)
    head = [
        f"Record Length,Analog:{count}",
        "Sample Interval," + ",".join(f"{name}:{interval_s:.13f}" for name in names),
        "Vertical Units," + ",".join(f"{name}:V" for name in names),
        "Horizontal Units,S",
        "Source," + ",".join(names),
        "Second" + ",Volt" * len(names),
    ]
    rows = _rows(_times(start_s, interval_s, channels, "%.12f"), channels, "%.5f")
    return "\r\n".join([*head, *rows, ""])


def _increment(start_s: float, interval_s: float, channels: Mapping[str, Samples]) -> str:
    head = [
        "X," + ",".join(channels) + ",Start,Increment,",
        "Sequence" + ",Volt" * len(channels) + f",{start_s:.6e},{interval_s:.6e}",
    ]
    count = len(next(iter(channels.values())))
    rows = _rows([str(index) for index in range(count)], channels, "%.4e")
    return "\n".join([*head, *(row + "," for row in rows), ""])
