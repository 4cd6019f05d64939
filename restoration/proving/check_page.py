"""What the page of one signal check shows: verdict, traces, figures beside their limits."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from django.db.models import QuerySet
from django.urls import reverse
from django.utils.timezone import localtime

from restoration.engineering.check_result import Outcome
from restoration.machine.models.limits import Quantity
from restoration.machine.records import Result
from restoration.proving.bench_figures import bench_readings_at
from restoration.proving.captures_store import trace_of
from restoration.proving.drawing import Drawing, DrawnTrace, band_of, figure_of
from restoration.proving.in_place import outcome_in_place
from restoration.proving.models import Capture, SignalCheck, SignalReading
from restoration.proving.models.signal_checks import End, Stage
from restoration.proving.quantities import USUAL, limit_reads, order_of, reads
from restoration.proving.wording import unbroken

EARLIER_SHOWN = 5
MOST_LOOKED_AT = 60  # captures of earlier checks: four a check at most, and some checks without any of this end
MARKS = {"within": "passed", "outside": "failed", "too close to call": "in hand", "cannot tell": "in hand", "": ""}
RESULT_MARKS: dict[str, str] = {
    Result.PASSED: "passed",
    Result.FAILED: "failed",
    Result.TOO_CLOSE: "in hand",
    Result.CANNOT_TELL: "in hand",
}


@dataclass(frozen=True)
class Cell:
    """One figure in the table: how it reads, its verdict, and why it cannot be told."""

    text: str = "–"
    verdict: str = ""
    reason: str = ""

    @property
    def mark(self) -> str:
        """The shape of the verdict; none where nothing was judged."""
        return MARKS[self.verdict]


@dataclass(frozen=True)
class Row:
    """One quantity: its limit, what the bench showed, what was found and what was left."""

    name: str
    limit: str
    bench: str
    found: Cell
    left: Cell
    is_usual: bool = True


@dataclass(frozen=True)
class EndShown:
    """One end of the wire: its traces, its table, its captures."""

    end: str
    label: str
    rows: list[Row]
    figure: dict[str, Any] | None = None
    captures: list[Capture] = field(default_factory=list)

    @property
    def has_left(self) -> bool:
        """Whether anything was measured after a part was changed."""
        return any(row.left.text != "–" for row in self.rows) or any(one.stage == Stage.LEFT for one in self.captures)

    @property
    def has_bench(self) -> bool:
        """Whether the bench showed any of these figures."""
        return any(row.bench for row in self.rows)

    @property
    def first_rows(self) -> list[Row]:
        """The rows that are always shown: those with a limit, and the usual figures."""
        return [row for row in self.rows if row.limit or row.is_usual]

    @property
    def other_rows(self) -> list[Row]:
        """The rows that stay folded."""
        return [row for row in self.rows if not row.limit and not row.is_usual]

    @property
    def stays_a_table(self) -> bool:
        """Whether the columns are few enough for a phone."""
        return 2 + (self.end == End.LOAD) + self.has_bench + self.has_left <= 4


def ends_shown(check: SignalCheck) -> list[EndShown]:
    """Put together what was measured at the load end and at the source end, in a constant number of reads."""
    readings, captures = list(check.readings.all()), list(check.captures.all())
    earlier = earlier_captures(check) if captures else []
    bench = bench_figures(check)
    return [
        _end_shown(check, end, readings, captures, earlier, bench)
        for end in (End.LOAD, End.SOURCE)
        if end in {*(row.end for row in readings), *(capture.end for capture in captures)}
    ]


def _end_shown(
    check: SignalCheck,
    end: End,
    readings: Sequence[SignalReading],
    captures: Sequence[Capture],
    earlier: Sequence[Capture],
    bench: dict[str, str],
) -> EndShown:
    mine = [row for row in readings if row.end == end]
    taken = [capture for capture in captures if capture.end == end]
    terminal = check.interconnect.load if end == End.LOAD else check.interconnect.source
    figure = None
    if taken:
        of_end = [capture for capture in earlier if capture.end == end]
        drawing = drawing_of(end, taken, mine, of_end)
        figure = _figure(drawing, taken, mine, answered_by(taken, of_end))
    return EndShown(end, f"{end.label.capitalize()}, {terminal}", rows_of(mine, bench), figure, taken)


def drawing_of(
    end: str, taken: Sequence[Capture], readings: Sequence[SignalReading], earlier: Sequence[Capture]
) -> Drawing:
    """Lay the traces of one end over one another: earlier ones behind, then found, then left.

    Where the check before this one failed and this one answers it, what was found then is named, with its day.
    """
    own = sorted(taken, key=lambda capture: capture.stage)  # found comes before left
    answered = answered_by(own, earlier)
    timed = all(capture.interval_s is not None for capture in own)
    behind = [
        _found_before(capture) if capture is answered else DrawnTrace("earlier", _day(capture), trace_of(capture))
        for capture in earlier
        if (capture.interval_s is not None) == timed
    ]
    limits = {row.quantity: row for row in readings} if end == End.LOAD else {}
    traces = [_own(capture, is_answer=answered is not None) for capture in own]
    return Drawing([*behind, *traces], band_of(list(limits.values()), own[-1].measurement))


def answered_by(own: Sequence[Capture], earlier: Sequence[Capture]) -> Capture | None:
    """The trace of a check that failed just before, where these are of one stage alone and say what was left of it."""
    if not earlier or len({capture.stage for capture in own}) != 1 or earlier[-1].check_made.result != Result.FAILED:
        return None
    is_left = own[-1].stage == Stage.LEFT
    return earlier[-1] if is_left or own[-1].check_made.result == Result.PASSED else None


def _own(capture: Capture, *, is_answer: bool) -> DrawnTrace:
    if not is_answer:
        return DrawnTrace(capture.stage, capture.get_stage_display(), trace_of(capture))
    return DrawnTrace(Stage.LEFT, "left" if capture.stage == Stage.LEFT else "found now", trace_of(capture))


def _found_before(capture: Capture) -> DrawnTrace:
    return DrawnTrace(Stage.FOUND, f"{capture.get_stage_display()}, {_short_day(capture)}", trace_of(capture))


def _day(capture: Capture) -> str:
    return f"{localtime(capture.check_made.done_at):%d %b %Y}"


def _short_day(capture: Capture) -> str:
    return f"{localtime(capture.check_made.done_at):%-d %b}"


def _figure(
    drawing: Drawing, taken: Sequence[Capture], readings: Sequence[SignalReading], before: Capture | None
) -> dict[str, Any]:
    said = _read_before(before)
    said += [
        f"{row.get_stage_display()} {reads(row.quantity, row.value)}"
        for row in readings
        if row.quantity == Quantity.AMPLITUDE and row.value is not None
    ]
    earlier = sum(drawn.kind == "earlier" for drawn in drawing.traces)
    behind = (
        f" Faint behind: {earlier} earlier {'check' if earlier == 1 else 'checks'} of this link." if earlier else ""
    )
    text = "; ".join(said) or "the trace as captured"
    title = text[0].upper() + text[1:]
    url = reverse("proving:capture-trace", args=[max(capture.pk for capture in taken)])
    return figure_of(drawing, title=title, caption=f"{title}.{behind}", data_url=url)


def _read_before(before: Capture | None) -> list[str]:
    """What the check that failed just before had read, in words."""
    amplitude_v = before.measurement.get("amplitude_v") if before is not None else None
    if before is None or amplitude_v is None:
        return []
    return [f"{before.get_stage_display()} {reads(Quantity.AMPLITUDE, amplitude_v)} on {_short_day(before)}"]


def earlier_captures(check: SignalCheck, end: str = "") -> list[Capture]:
    """Fetch the captures of this link's last earlier checks, one an end and check, rather left than found."""
    before = Capture.objects.filter(
        check_made__interconnect=check.interconnect_id,
        check_made__replaced_by=None,
        check_made__done_at__lt=check.done_at,
        **({"end": end} if end else {}),
    )
    places = before.order_by("-check_made__done_at", "-check_made", "-stage").values_list("pk", "check_made", "end")
    seen: dict[tuple[int, str], int] = {}
    for pk, made, one_end in places[:MOST_LOOKED_AT]:
        if sum(known == one_end for _, known in seen) < EARLIER_SHOWN:
            seen.setdefault((made, one_end), pk)
    fetched: QuerySet[Capture] = Capture.objects.filter(pk__in=seen.values()).select_related("check_made")
    return list(fetched.order_by("check_made__done_at", "pk"))


def rows_of(readings: Sequence[SignalReading], bench: dict[str, str]) -> list[Row]:
    """Lay the readings of one end beside their limits, one quantity a row, the limited ones first."""
    by_place = {(row.quantity, row.stage): row for row in readings}
    limited = [row.quantity for row in readings if limit_reads(row)]
    names = [*order_of(limited), *(name for name in order_of(row.quantity for row in readings) if name not in limited)]
    return [_row(name, by_place.get((name, Stage.FOUND)), by_place.get((name, Stage.LEFT)), bench) for name in names]


def _row(name: str, found: SignalReading | None, left: SignalReading | None, bench: dict[str, str]) -> Row:
    some = left or found
    limit = unbroken(limit_reads(some)) if some else ""
    return Row(Quantity(name).label, limit, unbroken(bench.get(name, "")), _cell(found), _cell(left), name in USUAL)


def _cell(row: SignalReading | None) -> Cell:
    if row is None:
        return Cell()
    return Cell(unbroken(reads(row.quantity, row.value, at_most=row.at_most)), row.verdict, row.reason)


def bench_figures(check: SignalCheck) -> dict[str, str]:
    """Look up what the chassis that drove the wire then had shown on the bench at that terminal."""
    rows = bench_readings_at(check.interconnect.source, check.done_at)
    return {quantity: reads(quantity, row.value) for quantity, row in rows.items()}


def outcome_again(check: SignalCheck) -> Outcome:
    """Work the outcome of a stored check out from its readings, for the sentences that give its reasons."""
    readings = check.readings.all()
    places = {(row.end, row.stage) for row in readings} | {(kept.end, kept.stage) for kept in check.captures.all()}
    return outcome_in_place(
        check.interconnect,
        check.done_at,
        readings,
        places,
        loads_joined=check.loads_joined,
        loads_missing=check.loads_missing,
        parts_changed=check.parts_changed,
    )


def lead_of(check: SignalCheck, outcome: Outcome) -> str:
    """Say in one sentence what the check came to."""
    stage = "left" if any(row.stage == Stage.LEFT and row.end == End.LOAD for row in check.readings.all()) else "found"
    if check.result == Result.PASSED:
        return f"Within its limits at the load end as {stage}, with every load joined."
    opening = {
        Result.FAILED: f"Outside its limits at the load end as {stage}.",
        Result.TOO_CLOSE: "",  # the word of the result says it
        Result.CANNOT_TELL: "This check cannot tell whether the signal is right.",
    }[Result(check.result)]
    told = 1 if check.result == Result.CANNOT_TELL else 2  # why it cannot be told is long; the rest stands below
    return " ".join(filter(None, [opening, *outcome.reasons[:told]]))


def warnings_of(captures: Sequence[Capture]) -> list[tuple[str, list[str]]]:
    """List what the measurement of each capture had to say, under the end and stage it belongs to."""
    found = []
    for capture in captures:
        told = capture.measurement
        said = [*told.get("capture_warnings", []), *told.get("warnings", [])]
        if said:
            found.append((f"{capture.get_end_display()} as {capture.get_stage_display()}", said))
    return found
