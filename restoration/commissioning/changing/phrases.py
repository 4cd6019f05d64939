"""What a change was, in one short phrase for people."""

from collections.abc import Callable, Sequence

from django.utils import timezone

from restoration.commissioning.changing.touched import Touched
from restoration.engineering.doubt import Kind


def phrase_of(kind: Kind, touched: Touched) -> str:
    """Say what was done, such as “chassis CG-07 swapped for CG-12 in slot C-07”."""
    return PHRASES[kind](touched)


def listed(words: Sequence[str]) -> str:
    """Put words in a row, such as “B, C and D”."""
    return " and ".join([", ".join(words[:-1]), words[-1]]) if len(words) > 1 else "".join(words)


def _swapped(touched: Touched) -> str:
    out, into, slot = touched.taken_out, touched.chassis, touched.slot
    came = out.serial if out else "what stood there"
    return f"chassis {came} swapped for {into.serial if into else 'another'} in slot {slot.code if slot else '?'}"


def _unit(touched: Touched) -> str:
    """Where a part is: its stage, and its slot or chassis."""
    stage = f"of stage {touched.stage.name} " if touched.stage else ""
    if touched.slot is not None:
        return f"{stage}in slot {touched.slot.code}"
    return f"{stage}in chassis {touched.chassis.serial if touched.chassis else '?'}"


def _like_valve(touched: Touched) -> str:
    return f"valve {touched.part} {_unit(touched)} replaced by one like it"


def _like_part(touched: Touched) -> str:
    return f"{touched.part} {_unit(touched)} replaced by one like it"


def _other_part(touched: Touched) -> str:
    return f"{touched.part} {_unit(touched)} {_altered(touched)}"


def _altered(touched: Touched) -> str:
    if touched.was and touched.now:
        return f"changed from {touched.was} to {touched.now}"
    return f"is {touched.now} now" if touched.now else "changed"


def _link(touched: Touched) -> str:
    return f"link {touched.interconnect.code if touched.interconnect else '?'}"


def _remade(touched: Touched) -> str:
    return f"{_link(touched)} led by another way: {touched.now}" if touched.now else f"{_link(touched)} made again"


def _load(touched: Touched) -> str:
    return f"{touched.part} {touched.now} at the source of {_link(touched)}"


def _conditioned(touched: Touched) -> str:
    if touched.was and touched.now:
        return f"{touched.part} on {_link(touched)} changed from {touched.was} to {touched.now}"
    if touched.now:
        return f"{touched.part} of {touched.now} fitted on {_link(touched)}"
    return f"{touched.part} taken off {_link(touched)}"


def _rail(touched: Touched) -> str:
    return f"{touched.part} of rail {touched.rail.code if touched.rail else '?'} {_altered(touched)}"


def _earth(touched: Touched) -> str:
    return f"earth {touched.earth.code if touched.earth else '?'} changed: {touched.part}"


def _drawing(touched: Touched) -> str:
    issue = touched.issue
    return f"drawing {issue.design.number} issue {issue.letter}" if issue else "a drawing"


def _as_built(touched: Touched) -> str:
    return f"{_drawing(touched)} corrected to what is built"


def _function(touched: Touched) -> str:
    return f"{_drawing(touched)} issued with another function"


def _instrument(touched: Touched) -> str:
    mark = touched.instrument.mark if touched.instrument else "?"
    return f"instrument {mark} found out of limits{_since(touched, ', last known good on')}"


def _rest(touched: Touched) -> str:
    return f"{_racks(touched)} at rest{_since(touched, ' since')}"


def _knock(touched: Touched) -> str:
    place = f"slot {touched.slot.code}" if touched.slot else _racks(touched)
    return f"{place} {touched.now or 'knocked, moved or damp'}"


def _racks(touched: Touched) -> str:
    codes = [rack.code for rack in touched.racks]
    return f"rack{'s' if len(codes) > 1 else ''} {listed(codes)}"


def _since(touched: Touched, words: str) -> str:
    return f"{words} {timezone.localtime(touched.since):%d %b %Y}" if touched.since else ""


PHRASES: dict[Kind, Callable[[Touched], str]] = {
    Kind.SWAPPED: _swapped,
    Kind.LIKE_VALVE: _like_valve,
    Kind.LIKE_PART: _like_part,
    Kind.OTHER_PART: _other_part,
    Kind.REMADE: _remade,
    Kind.LOAD: _load,
    Kind.CONDITIONED: _conditioned,
    Kind.RAIL: _rail,
    Kind.EARTH: _earth,
    Kind.DRAWING_AS_BUILT: _as_built,
    Kind.DRAWING_FUNCTION: _function,
    Kind.INSTRUMENT: _instrument,
    Kind.REST: _rest,
    Kind.KNOCK: _knock,
}
