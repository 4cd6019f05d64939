"""Proposals in words: which limits are missed, why one stands where it does, what to check, how it is undone."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from restoration.engineering.in_place.arrangement import CAPACITOR, ROLES, Fitted
from restoration.engineering.in_place.case import LinkCase
from restoration.engineering.in_place.figures import Predicted
from restoration.engineering.in_place.proposals.records import FITTED, EffectOnOther, PartUse
from restoration.engineering.limits import Limit, Quantity
from restoration.engineering.plots import format_part, format_si

Limits = Mapping[Quantity, Limit]
HOT = 0.25
"""Part of its rated watts from which a part is said to get warm."""


def told(value: float | None, quantity: Quantity) -> str:
    """A figure for people."""
    return format_si(value, quantity.unit) if quantity.unit else format_part(value)


def missed_words(predicted: Predicted, limits: Limits, drive_most_a: float | None) -> tuple[str, ...]:
    """Every limit that the load misses, in a sentence each, and the drive where it is asked for too much."""
    return (*_missed(predicted, limits), *_overdriven(predicted, drive_most_a))


def _missed(predicted: Predicted, limits: Limits) -> Iterator[str]:
    for quantity, limit in limits.items():
        value = predicted.load.get(quantity)
        if value is None:
            continue
        found = f"The {quantity.words} at the load would be {told(value, quantity)}"
        if limit.least is not None and value < limit.least:
            yield f"{found}, under the least allowed, {told(limit.least, quantity)}."
        if limit.most is not None and value > limit.most:
            yield f"{found}, over the most allowed, {told(limit.most, quantity)}."


def _overdriven(predicted: Predicted, drive_most_a: float | None) -> Iterator[str]:
    if drive_most_a is not None and predicted.peak_drive_a > drive_most_a:
        yield (
            f"The source would have to give {format_si(predicted.peak_drive_a, 'A')} at the peak and can give "
            f"{format_si(drive_most_a, 'A')}."
        )


def effect_words(code: str, before: Predicted, after: Predicted, newly: Sequence[str], missed: Sequence[str]) -> str:
    """What happens to another wire of the source, in a sentence or two."""
    volts = f"{format_si(before.load.amplitude_v, 'V')} before, {format_si(after.load.amplitude_v, 'V')} after"
    rises = f"{format_si(before.load.rise_time_s, 's')} before, {format_si(after.load.rise_time_s, 's')} after"
    if newly:
        ending = f"It would miss what it meets now: {' '.join(newly)}"
    elif missed:
        ending = "What it misses it misses already."
    else:
        ending = "It meets its limits."
    return f"{code}: amplitude {volts}; rise time {rises}. {ending}"


def why_words(
    before: Predicted, after: Predicted, limits: Limits, missed: Sequence[str], in_reserve: bool
) -> Iterator[str]:
    """What it does to the pulse and whether that is enough."""
    yield (
        f"The amplitude at the load goes from {format_si(before.load.amplitude_v, 'V')} to "
        f"{format_si(after.load.amplitude_v, 'V')}, the overshoot from {format_part(before.load.overshoot)} to "
        f"{format_part(after.load.overshoot)}, the rise time from {format_si(before.load.rise_time_s, 's')} to "
        f"{format_si(after.load.rise_time_s, 's')}."
    )
    if missed:
        yield f"It is better than leaving the link as it is, and still misses: {' '.join(missed)}"
    elif limits and in_reserve:
        yield "It meets every limit with something to spare."
    elif limits:
        yield "It meets every limit, but only just; nothing is to spare."


def worst_words(low_v: float, high_v: float, limit: Limit | None) -> str:
    """The amplitude over the tolerances of all parts."""
    range_words = f"Over the tolerances of the parts the amplitude lies between {format_si(low_v, 'V', 4)} and "
    range_words += format_si(high_v, "V", 4)
    if limit is None or (limit.least is None and limit.most is None):
        return f"{range_words}."
    inside = (limit.least is None or low_v >= limit.least) and (limit.most is None or high_v <= limit.most)
    return f"{range_words}, {'inside its limits' if inside else 'partly outside its limits: measure the parts first'}."


def origin_words(parts: Sequence[PartUse]) -> str:
    """How many parts there are and where they come from."""
    if not parts:
        return "No part is needed."
    count = f"{len(parts)} parts" if len(parts) > 1 else "One part"
    return f"{count}: {'; '.join(part.offer.words for part in parts)}."


def others_words(others: Sequence[EffectOnOther]) -> str:
    """What becomes of the other loads of the source, in one sentence."""
    if not others:
        return "No other wire hangs on this source, as far as is known."
    worse = [other.code for other in others if other.newly]
    if worse:
        return f"It makes other loads of the source miss limits that they meet now: {', '.join(worse)}."
    return "No other load of the source misses a limit that it meets now."


def drive_words(share: float | None, peak_a: float) -> str:
    """What it asks of the source."""
    if share is None:
        return (
            f"The source gives {format_si(peak_a, 'A')} at the peak; what it can give is not known, so that nobody has "
            "judged whether it affords this."
        )
    return f"The source gives {format_si(peak_a, 'A')} at the peak, {format_part(share)} of the most it can give."


def check_words(case: LinkCase, parts: Sequence[PartUse]) -> Iterator[str]:
    """What to measure once it is fitted."""
    yield "Measure the pulse at this load and at its source, with everything joined and the neighbours running."
    for other in case.others:
        yield f"Measure the pulse at the load of {other.code}, which hangs on the same source."
    yield from (_warm_words(part) for part in parts if part.watts > 0.0)
    yield from (_unrated_words(part) for part in parts if part.offer.rating_w is None and part.watts > 0.0)
    yield "Look at the supply of the driving chassis for the current that the edges now take, and at its ripple."


def _warm_words(part: PartUse) -> str:
    words = f"After an hour's run take the temperature of the {part.fitted.words} without touching it; "
    words += f"it is reckoned to get {format_si(part.watts, 'W')}"
    if part.offer.rating_w is None:
        return f"{words}."
    share = part.watts / part.offer.rating_w
    return f"{words}, {format_part(share)} of its rating{', and will be warm' if share >= HOT else ''}."


def _unrated_words(part: PartUse) -> str:
    return (
        f"Nobody has written down a rating for the {part.fitted.words}; find one before fitting: at least "
        f"{format_si(2.0 * part.watts, 'W')} and {format_si(part.volts, 'V')}."
    )


_UNDOING = {
    "series_ohm": "take the {0} out of the wire at the source terminal and join the wire there again",
    "source_shunt_ohm": "take the {0} off between the source terminal and earth",
    "attenuator_ohm": "take the {0} out at the load and join the wire to the load terminal again",
    "attenuator_f": "take the {0} off with the resistor that it lies across",
    "shunt_ohm": "take the {0} off between the load terminal and earth",
    "shunt_coupling_f": "take the {0} off with the resistor that it couples",
}


def undoing(parts: Sequence[PartUse], removed: Sequence[Fitted]) -> str:
    """How everything is put back as it was, in one sentence."""
    new = [part for part in parts if part.offer.where != FITTED]
    steps = [_UNDOING[part.role].format(_value(part.fitted)) for part in new]
    steps += [f"put the {_value(part)} back {ROLES[part.role][1]}" for part in removed]
    if not steps:
        return "There is nothing to undo."
    kept = " Keep what comes off, labelled with this wire." if removed else ""
    words = "; ".join(steps)
    return f"{words[0].upper()}{words[1:]}. No hole is drilled and no lead of an original part is cut.{kept}"


def _value(part: Fitted) -> str:
    return format_si(part.value, "F" if part.kind == CAPACITOR else "Ω")
