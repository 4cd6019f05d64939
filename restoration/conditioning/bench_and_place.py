"""What an output showed on the bench beside what arrives in place, and how far the model explains the difference."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from restoration.conditioning.known.pulse import bench_load_of, bench_load_words, bench_whence
from restoration.conditioning.recording import CANNOT_BE, Beside, LeftOut, Taken, beside_of, newest_checks, taken_of
from restoration.engineering.in_place import Explanation, Measured, SiteConstants, explain
from restoration.engineering.in_place.comparing import COMPARED
from restoration.engineering.in_place.matching import uncertainty_of
from restoration.engineering.plots import format_part
from restoration.machine.models import Interconnect
from restoration.machine.models.limits import Quantity
from restoration.proving.models import BenchReading, SignalCheck, SignalReading
from restoration.proving.quantities import order_of, reads

UNEXPLAINED = "what the model does not explain"
FELT = 0.001
NOT_CHECKED = "no signal check was made on it yet"


@dataclass(frozen=True)
class FigureBeside:
    """One figure on the bench and in place."""

    quantity: str
    bench: BenchReading
    place: SignalReading

    @property
    def name(self) -> str:
        """The quantity in words."""
        return Quantity(self.quantity).label

    @property
    def ratio(self) -> float:
        """Place over bench."""
        return abs((self.place.value or math.nan) / (self.bench.value or math.nan))

    @property
    def away(self) -> float:
        """How far the ratio is from one, either way: half and twice are as far."""
        return abs(math.log(self.ratio))

    @property
    def on_bench(self) -> str:
        """The bench figure as it is read out."""
        return reads(self.quantity, abs(self.bench.value or 0.0))

    @property
    def in_place(self) -> str:
        """The figure in place as it is read out."""
        return reads(self.quantity, abs(self.place.value or 0.0))

    @property
    def load(self) -> str:
        """What the bench figure was read with."""
        return bench_load_words(self.bench)

    @property
    def whence(self) -> str:
        """Where the bench figure stands."""
        return bench_whence(self.bench)


@dataclass(frozen=True)
class FactorRow:
    """One reason why the figure differs, and by what part it takes it up or down."""

    words: str
    ratio: float

    @property
    def is_felt(self) -> bool:
        """Whether it changes the figure by a thousandth or more."""
        return abs(self.ratio - 1.0) >= FELT

    @property
    def change(self) -> str:
        """Write the ratio as a change: 12.0 % less."""
        part = self.ratio - 1.0
        if not self.is_felt:
            return "nothing"
        return f"{format_part(abs(part))} {'more' if part > 0 else 'less'}"


@dataclass(frozen=True)
class LinkBeside:
    """A link of an output: its figures on the bench and in place, and what the model says of the amplitude."""

    link: Interconnect
    check: SignalCheck | None
    figures: tuple[FigureBeside, ...] = ()
    explanation: Explanation | None = None
    assumed: tuple[str, ...] = ()
    why_not: str = ""

    @property
    def amplitude(self) -> FigureBeside | None:
        """The amplitude, where it stands on both sides."""
        return next((each for each in self.figures if each.quantity == Quantity.AMPLITUDE), None)

    @property
    def factors(self) -> list[FactorRow]:
        """The reasons that the model offers and that change something, then the rest that it does not explain."""
        if self.explanation is None:
            return []
        felt = [factor for factor in self._offered if factor.is_felt]
        return [*felt, FactorRow(UNEXPLAINED, self.explanation.unexplained)]

    @property
    def not_felt(self) -> list[str]:
        """What was reckoned with and changes nothing."""
        return [factor.words for factor in self._offered if not factor.is_felt]

    @property
    def _offered(self) -> list[FactorRow]:
        factors = self.explanation.factors if self.explanation else ()
        return [FactorRow(factor.words, factor.ratio) for factor in factors]

    @property
    def mark(self) -> str:
        """The standing whose mark says whether the model explains it."""
        if self.explanation is None:
            return ""
        return "passed" if self.explanation.is_explained else "in doubt"


def compared(links: Any = None) -> tuple[list[LinkBeside], dict[str, int]]:
    """Every checked link beside the bench, the ratio of amplitudes farthest from one first; and why others are not.

    A dozen reads, however many links there are; the model is not asked.
    """
    rows: list[LinkBeside] = []
    reasons: dict[str, int] = {}
    for each in beside_of(newest_checks(links)):
        if isinstance(each, LeftOut):
            reasons[each.why] = reasons.get(each.why, 0) + 1
        else:
            rows.append(LinkBeside(each.link, each.check, figures_beside(each)))
    return sorted(rows, key=_farthest_first), reasons


def _farthest_first(row: LinkBeside) -> float:
    return -row.amplitude.away if row.amplitude else 0.0


def figures_beside(beside: Beside) -> tuple[FigureBeside, ...]:
    """The figures that stand on both sides and have a ratio worth speaking of."""
    both = (Quantity(str(one)) for one in COMPARED)
    found = {name for name in both if _value(beside.bench.get(name)) and _value(beside.readings.get(name))}
    return tuple(FigureBeside(name, beside.bench[name], beside.readings[name]) for name in order_of(found))


def _value(row: BenchReading | SignalReading | None) -> float | None:
    return None if row is None else row.value


def explained(links: Iterable[Interconnect], constants: SiteConstants) -> list[LinkBeside]:
    """These links beside the bench, each with the explanation that the model offers for its amplitude."""
    given = list(links)
    told = {each.check.interconnect_id: each for each in beside_of(newest_checks([link.pk for link in given]))}
    return [_explained(link, told.get(link.pk), constants) for link in given]


def _explained(link: Interconnect, told: Beside | LeftOut | None, constants: SiteConstants) -> LinkBeside:
    if told is None:
        return LinkBeside(link, None, why_not=NOT_CHECKED)
    if isinstance(told, LeftOut):
        return LinkBeside(link, told.check, why_not=told.why)
    figures = figures_beside(told)
    taken = taken_of(told)
    if isinstance(taken, LeftOut):
        return LinkBeside(link, told.check, figures, why_not=taken.why)
    try:
        explanation = explanation_of(taken, constants)
    except (ValueError, ArithmeticError):
        return LinkBeside(link, told.check, figures, why_not=CANNOT_BE)
    return LinkBeside(link, told.check, figures, explanation, taken.assumed)


def explanation_of(taken: Taken, constants: SiteConstants) -> Explanation:
    """Why the amplitude in place differs from that on the bench, as the model has it."""
    bench = taken.beside.bench[Quantity.AMPLITUDE]
    place = taken.beside.readings[Quantity.AMPLITUDE]
    return explain(
        _measured(bench),
        bench_load_of(bench),
        _measured(place),
        taken.case,
        constants=constants,
        wire=taken.record.wire,
        drive=taken.record.drive,
    )


def _measured(row: BenchReading | SignalReading) -> Measured:
    value = abs(row.value or 0.0)
    return Measured(value, uncertainty_of(row.quantity, value, row.uncertainty))
