"""What a loose sum declares: what it asks, how it works, where its formula comes from and where it stops holding."""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import Enum
from typing import Any

from restoration.engineering.figures import Unit, read_figure, with_unit
from restoration.engineering.plots import format_si

ADVICE = "Advice: verify by measurement."
MOST_LINES = 60
MOST_TYPED = 4000
DIGITS = 4
TIGHT_COLUMNS, TIGHT_CELL = 4, 14
DUST = 1e-9  # a part that arithmetic leaves behind
WITH_PREFIX = {"V", "A", "W", "Ω", "F", "H", "s", "Hz", "m", "J", "C", "V/s", "A/s", "Ω/m", "F/m", "H/m", "s/m"}

Value = float | int | str | None


class Span(Enum):
    """Which numbers an input takes."""

    ABOVE_ZERO = "more than zero"
    ZERO_UP = "zero or more"
    ANY = "any number"


@dataclass(frozen=True, kw_only=True)
class Input:
    """One thing that a sum asks for: its name in addresses and commands, its label, and the worked example's text."""

    name: str
    label: str
    example: str
    help: str = ""
    optional: bool = False

    def read(self, text: str) -> Any:
        """Read what was typed, or refuse it in a sentence."""
        raise NotImplementedError

    def told(self, text: str) -> str:
        """What was typed, as it is told again."""
        return text.strip() or "left empty"

    def taken(self, text: str) -> Any:
        """Read what was typed; nothing where it may stay empty."""
        if len(text) > MOST_TYPED:
            raise ValueError(f"“{self.label}” holds {len(text)} letters; at most {MOST_TYPED} are read.")
        if text.strip():
            return self.read(text.strip())
        if self.optional:
            return None
        raise ValueError(f"It was left empty; write one, such as {self.example.splitlines()[0]}.")


@dataclass(frozen=True, kw_only=True)
class Quantity(Input):
    """A figure with a unit, written as people write it: 4k7, 100p, 2,4 µs."""

    unit: Unit
    span: Span = Span.ABOVE_ZERO

    def read(self, text: str) -> float:
        value = read_figure(text, self.unit)
        if not self._holds(value):
            raise ValueError(f"“{text}” was given, and this has to be {self.span.value}.")
        return value

    def told(self, text: str) -> str:
        """What was typed, with the unit that was meant where none was written."""
        typed = text.strip()
        is_bare = bool(typed) and not any(sign.isalpha() or sign in "Ω%" for sign in typed)
        return with_unit(self.read(typed), self.unit).strip() if is_bare else super().told(text)

    def _holds(self, value: float) -> bool:
        if self.span is Span.ABOVE_ZERO:
            return value > 0.0
        return self.span is Span.ANY or value >= 0.0


@dataclass(frozen=True, kw_only=True)
class Count(Input):
    """A whole number between two."""

    least: int = 1
    most: int = 100_000

    def read(self, text: str) -> int:
        if text.isascii() and text.isdigit() and len(text) < 10 and self.least <= int(text) <= self.most:
            return int(text)
        raise ValueError(f"“{text}” was given, and this is a whole number from {self.least} to {self.most}.")


@dataclass(frozen=True, kw_only=True)
class Choice(Input):
    """One of several answers, each a word for addresses and words for people."""

    options: tuple[tuple[str, str], ...]

    def read(self, text: str) -> str:
        known = [value for value, _ in self.options]
        if text in known:
            return text
        raise ValueError(f"“{text}” was given, and this is one of: {', '.join(known)}.")

    def told(self, text: str) -> str:
        """The words of what was chosen."""
        return dict(self.options).get(text.strip(), super().told(text))


@dataclass(frozen=True, kw_only=True)
class Lines(Input):
    """Several things, one a line or parted by semicolons, each read by the same reader."""

    reader: Callable[[str], Any]
    fewest: int = 1

    def read(self, text: str) -> tuple[Any, ...]:
        lines = [line.strip() for line in text.replace(";", "\n").splitlines() if line.strip()]
        if not self.fewest <= len(lines) <= MOST_LINES:
            raise ValueError(f"{len(lines)} lines were given; {self.fewest} to {MOST_LINES} are read.")
        return tuple(self.reader(line) for line in lines)

    def told(self, text: str) -> str:
        """What was typed, on one line."""
        return "; ".join(line.strip() for line in text.splitlines() if line.strip()) or super().told(text)


def shown(value: Value, unit: str = "", digits: int = DIGITS) -> str:
    """A value for people.

    >>> shown(4700.0, "Ω"), shown(2e-7, "m²"), shown(0.05, "%"), shown(81, "turns"), shown(float("inf"), "Ω")
    ('4.7\\xa0kΩ', '0.2\\xa0mm²', '5\\xa0%', '81\\xa0turns', 'without end')
    """
    if value is None:
        return "not known"
    if isinstance(value, str):
        return value
    if math.isinf(value):
        return "without end"
    if unit == "m" and 1e-6 <= abs(value) < 1.0:
        return f"{value * 1e3:.{digits}g}\u00a0mm"
    if unit in WITH_PREFIX:
        return _without_zeros(format_si(float(value), unit, digits))
    if unit == "%" and abs(value) < DUST:
        return "0\u00a0%"
    number, said = {"m²": (value * 1e6, "mm²"), "%": (value * 100.0, "%")}.get(unit, (value, unit))
    plain = str(number) if isinstance(number, int) else f"{number:.{digits}g}"
    return f"{plain}\u00a0{said}".rstrip("\u00a0")


def _without_zeros(words: str) -> str:
    number, space, unit = words.partition("\u00a0")
    return f"{number.rstrip('0').rstrip('.')}{space}{unit}" if "." in number else words


@dataclass(frozen=True)
class Result:
    """One figure of the answer, in the SI unit: its key for programs, its label, what to know about it."""

    key: str
    label: str
    value: Value
    unit: str = ""
    note: str = ""

    @property
    def words(self) -> str:
        """The figure for people."""
        return shown(self.value, self.unit)


@dataclass(frozen=True)
class Column:
    """One column of a small table."""

    key: str
    words: str
    unit: str = ""


@dataclass(frozen=True)
class Table:
    """A small table of the answer; its cells are values in SI units."""

    caption: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Value, ...], ...]

    @property
    def is_tight(self) -> bool:
        """Whether it stays a table on a phone: few columns, and short words in them."""
        return len(self.columns) <= TIGHT_COLUMNS and all(
            len(cell) <= TIGHT_CELL for row in self.cells for _, cell in row
        )

    @property
    def cells(self) -> list[list[tuple[Column, str]]]:
        """The rows as they are read."""
        return [
            [(column, shown(cell, column.unit)) for column, cell in zip(self.columns, row, strict=True)]
            for row in self.rows
        ]


@dataclass(frozen=True)
class Answer:
    """What a sum gives: one sentence first, its figures, further sentences, perhaps tables and a drawing."""

    sentence: str
    results: tuple[Result, ...] = ()
    says: tuple[str, ...] = ()
    tables: tuple[Table, ...] = ()
    figure: Mapping[str, Any] | None = None


@dataclass(frozen=True, kw_only=True)
class Sum:
    """One loose sum: one idea of the engineering core, asked by one question."""

    slug: str
    title: str
    question: str
    inputs: tuple[Input, ...]
    compute: Callable[..., Answer]
    formula: tuple[str, ...]
    source: str
    assumptions: tuple[str, ...]
    limits: tuple[str, ...]
    leads_to_ht: bool = False

    @property
    def example(self) -> dict[str, str]:
        """The texts of the worked example."""
        return {one.name: one.example for one in self.inputs}

    def input_named(self, name: str) -> Input | None:
        """The input of that name."""
        return next((one for one in self.inputs if one.name == name), None)


@dataclass(frozen=True)
class Group:
    """Sums that answer one question of a pair at the rack."""

    order: int
    question: str
    sums: tuple[Sum, ...] = field(default_factory=tuple)
