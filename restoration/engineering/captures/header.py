"""What a capture's header says: settings by name, and the label of every column."""

from __future__ import annotations

import re
from dataclasses import dataclass

from restoration.engineering.captures.layout import Layout
from restoration.engineering.captures.numbers import is_number, quantity

_TIME_UNITS = {
    **dict.fromkeys(("s", "sec", "secs", "second", "seconds"), 1.0),
    **dict.fromkeys(("ms", "msec", "millisecond", "milliseconds"), 1e-3),
    **dict.fromkeys(("us", "µs", "μs", "usec", "microsecond", "microseconds"), 1e-6),
    **dict.fromkeys(("ns", "nsec", "nanosecond", "nanoseconds"), 1e-9),
    **dict.fromkeys(("ps", "picosecond", "picoseconds"), 1e-12),
}
_VOLT_UNITS = {
    **dict.fromkeys(("v", "volt", "volts", "value"), 1.0),
    **dict.fromkeys(("mv", "millivolt", "millivolts"), 1e-3),
    **dict.fromkeys(("uv", "µv", "μv", "microvolt", "microvolts"), 1e-6),
    **dict.fromkeys(("kv", "kilovolt", "kilovolts"), 1e3),
}
_OTHER_UNITS = {"a": "A", "amp": "A", "amps": "A", "ma": "mA", "w": "W", "db": "dB", "dbm": "dBm", "%": "%", "°c": "°C"}
_INDEX_WORDS = {"sequence", "sample", "samples", "index", "#", "n", "no", "no.", "point", "points", "sample number"}
_TIME_WORDS = {"time", "t", "times", "timestamp"}
_NO_NAMES = {"waveform data", "waveform", "data"}
_IN_UNIT = re.compile(r"(.*?)\s*(?:\(([^()]*)\)|\[([^\[\]]*)\]|(?:^|\s)in\s+(\S+)|/\s*(\S+))\Z", re.IGNORECASE)
_NUMBERED_UNIT = re.compile(r"(volts?|v)\s*\d+\Z", re.IGNORECASE)
_INTERVAL_KEYS = (
    "sample interval", "sampling interval", "sampling period", "sample period", "increment", "xincrement",
    "x increment", "xincr", "horiz interval", "horizontal interval", "delta t", "delta time", "time step", "dt",
)  # fmt: skip
_RATE_KEYS = ("sample rate", "sampling rate", "sampling frequency", "sample frequency", "sampling rate (sa/s)")
_LENGTH_KEYS = (
    "record length",
    "memory length",
    "number of data points",
    "points",
    "number of points",
    "waveform points",
)
_PROBE_KEYS = ("probe", "probe attenuation", "probe atten", "probe ratio", "probe factor", "attenuation")
_SETTING_WORDS = (
    "vertical",
    "horizontal",
    "trigger",
    "firmware",
    "model",
    "serial",
    "yzero",
    "record",
    "memory",
    "probe",
)


@dataclass(frozen=True)
class Label:
    """Heading of one column: its name, the factor that brings it to SI, and what it is."""

    name: str = ""
    unit: str = ""
    factor: float = 1.0
    kind: str = ""


@dataclass(frozen=True)
class Header:
    """The header once read: the labels of the data columns, and the settings that matter to a measurement."""

    labels: tuple[Label, ...]
    interval_s: float | None = None
    start_s: float | None = None
    samples: int | None = None
    segments: int = 1
    segment_size: int | None = None
    probes: tuple[float, ...] = ()
    sources: tuple[str, ...] = ()
    keyed_by_channel: bool = False
    settings: int = 0


def read_header(layout: Layout) -> Header:
    """Labels and settings from the rows above the data, or beside it."""
    rows = [row for row in layout.header if any(row)]
    names, units, labelled = _label_rows(rows, layout.columns)
    settings = _settings([*rows, *layout.beside])
    settings.update(_in_label_rows(names, units))
    return Header(
        labels=_labels(names, units, layout.columns, settings),
        interval_s=_interval(settings),
        start_s=_first(settings, ("start",)),
        samples=_whole(_first(settings, _LENGTH_KEYS)),
        segments=_whole(_first(settings, ("segments",))) or 1,
        segment_size=_segment_size(settings),
        sources=_raw(settings, ("source",)),
        probes=tuple(value for value in map(quantity, _raw(settings, _PROBE_KEYS)) if value),
        keyed_by_channel=any(":" in field for values in settings.values() for field in values[:1]),
        settings=len(rows) - labelled + len(layout.beside),
    )


def label(field: str) -> Label:
    """Label of one heading.

    >>> label("CH 1 (V)"), label("Time [ms]").factor, label("Volt2").name
    (Label(name='CH 1', unit='V', factor=1.0, kind='volts'), 0.001, 'Volt2')
    """
    whole = field.strip().strip("()[]").strip()
    if whole.lower() in _NO_NAMES:
        return Label()
    if whole.lower() in _INDEX_WORDS:
        return Label(whole, kind="index")
    by_itself = _unit(whole)
    if by_itself:
        return by_itself
    if _NUMBERED_UNIT.match(whole):
        return Label(whole, "V", 1.0, "volts")
    found = _IN_UNIT.match(field.strip())
    if found:
        unit = _unit(next(group for group in found.groups()[1:] if group is not None))
        if unit:
            return Label(found[1].strip() or "", unit.unit, unit.factor, unit.kind)
    if whole.lower() in _TIME_WORDS:
        return Label(whole, kind="time")
    return Label(field.strip())


def _unit(word: str) -> Label | None:
    word = word.lower().strip()
    if word in _TIME_UNITS:
        return Label("", "s", _TIME_UNITS[word], "time")
    if word in _VOLT_UNITS:
        return Label("", "V", _VOLT_UNITS[word], "volts")
    if word in _OTHER_UNITS:
        return Label("", _OTHER_UNITS[word], 1.0, "other")
    return None


def _label_rows(rows: list[tuple[str, ...]], columns: tuple[int, ...]) -> tuple[tuple[str, ...], tuple[str, ...], int]:
    """The row of names and the row of units, looked for upwards from the data, and how many rows they are."""
    names: tuple[str, ...] = ()
    units: tuple[str, ...] = ()
    for row in rows[:-4:-1]:
        fields = [row[column] if column < len(row) else "" for column in columns]
        if not _could_be_labels(row, fields):
            break
        if not units and all(_is_unit_only(field) for field in fields if field):
            units = row
        elif not names:
            names = row
        else:
            break
    return names, units, bool(names) + bool(units)


def _is_unit_only(field: str) -> bool:
    found = label(field)
    return found.kind == "index" or (bool(found.kind) and not found.name)


def _could_be_labels(row: tuple[str, ...], fields: list[str]) -> bool:
    """A setting such as ``Vertical Scale,CH1: 0.05`` is no heading; ``x-axis,1,2`` is one."""
    given = [field for field in fields if field]
    if not given or any(":" in field or "=" in field for field in given):
        return False
    if row[0].lower().startswith(_SETTING_WORDS):
        return False
    if len(fields) > 1 and not any(fields[1:]):
        return False
    named = [field for field in fields if not is_number(field)]
    return bool(named) and not (len(fields) == 1 and len([f for f in row if f]) > 1 and not label(fields[0]).kind)


def _in_label_rows(names: tuple[str, ...], units: tuple[str, ...]) -> dict[str, tuple[str, ...]]:
    """Start and Increment, which some instruments print as two more columns of the heading."""
    found: dict[str, tuple[str, ...]] = {}
    for name, value in zip(names, units, strict=False):
        if name.lower() in ("start", "increment") and is_number(value):
            found[name.lower()] = (value,)
    return found


def _settings(rows: list[tuple[str, ...]]) -> dict[str, tuple[str, ...]]:
    found: dict[str, tuple[str, ...]] = {}
    for row in rows:
        key, values = row[0], tuple(field for field in row[1:] if field)
        if not values:
            key, mark, value = row[0].partition("=" if "=" in row[0] else ":")
            values = (value.strip(),) if mark and value.strip() else ()
        if values:
            found.setdefault(key.strip().rstrip(":= ").lower(), values)
            for name, value in zip(row[2::2], row[3::2], strict=False):
                found.setdefault(name.strip().lower(), (value,)) if not is_number(name) and name else None
    return found


def _raw(settings: dict[str, tuple[str, ...]], keys: tuple[str, ...]) -> tuple[str, ...]:
    for key in keys:
        for held in (key, *(f"{key} ({unit})" for unit in ("s", "hz", "sa/s", "pts"))):
            if held in settings:
                return settings[held]
    return ()


def _first(settings: dict[str, tuple[str, ...]], keys: tuple[str, ...]) -> float | None:
    values = _raw(settings, keys)
    return quantity(values[0]) if values else None


def _whole(value: float | None) -> int | None:
    return int(value) if value is not None and 1 <= value < 1e12 else None


def _segment_size(settings: dict[str, tuple[str, ...]]) -> int | None:
    return _whole(_first(settings, ("segmentsize", "segment size")))


def _interval(settings: dict[str, tuple[str, ...]]) -> float | None:
    interval = _first(settings, _INTERVAL_KEYS)
    if interval is not None and 1e-18 < interval < 1e6:
        return interval
    rate = _first(settings, _RATE_KEYS)
    return float(f"{1 / rate:.12g}") if rate is not None and 1e-6 < rate < 1e18 else None


def _labels(
    names: tuple[str, ...], units: tuple[str, ...], columns: tuple[int, ...], settings: dict[str, tuple[str, ...]]
) -> tuple[Label, ...]:
    stated = _unit(_raw(settings, ("vertical units", "vertical unit"))[0].rpartition(":")[2]) if (
        "vertical units" in settings or "vertical unit" in settings
    ) else None  # fmt: skip
    found = []
    for column in columns:
        name = label(names[column] if column < len(names) else "")
        unit = label(units[column] if column < len(units) else "")
        if unit.kind and not name.kind:
            name = Label(name.name or unit.name, unit.unit, unit.factor, unit.kind)
        elif unit.kind and not name.unit and unit.kind != "volts":
            name = Label(name.name, unit.unit, unit.factor, unit.kind)
        if stated and not name.kind and column != columns[0]:
            name = Label(name.name, stated.unit, stated.factor, stated.kind)
        found.append(name)
    return tuple(found)
