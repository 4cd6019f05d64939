"""The standing of a gate that follows from its parts: a chassis proved by its links, a group by its members."""

from collections.abc import Mapping, Sequence

from restoration.engineering.standing import GOOD, Standing, State

NAMED = 3
GRAVEST_FIRST = (State.FAILED, State.IN_DOUBT, State.WITHDRAWN, State.IN_HAND, State.NOT_DONE)


def gravest(standings: Sequence[Standing]) -> Standing | None:
    """Find the gate that keeps a thing from standing, the gravest first; None where all its gates stand.

    >>> rows = (Standing("joined", State.PASSED), Standing("rung out", State.IN_DOUBT))
    >>> gravest(rows).gate
    'rung out'
    >>> gravest(rows[:1]) is None
    True
    """
    left = [standing for standing in standings if standing.state not in GOOD]
    return min(left, key=lambda standing: GRAVEST_FIRST.index(standing.state), default=None)


def standing_of_whole(gate: str, parts: Mapping[str, Sequence[Standing]], *, what: str, without: str) -> Standing:
    """Work out a gate that stands only where every gate of every part stands.

    `parts` gives for the name of each part ("link 214") how its gates stand; `what` says what they are ("links are
    proved"), for the reason "9 of 12 links are proved."; the parts that hold it are named, and say
    themselves why; `without` is the reason where there are no parts. One part
    failed makes the whole failed, else one in doubt makes it in doubt; where neither is, and not all stand, it is in
    hand as soon as anything was done. A lifted wire is only short of standing: what was proved through it is in
    doubt of itself. No part, and the gate is not done: nothing is never proof. Never raises. Common practice, no
    source.

    >>> good, doubt = Standing("rung out", State.PASSED), Standing("rung out", State.IN_DOUBT)
    >>> whole = standing_of_whole("links proved", {"link 4": [good], "link 5": [doubt]}, what="are proved", without="")
    >>> whole.state.value, whole.reasons
    ('in doubt', ('1 of 2 are proved.', 'Link 5, rung out: in doubt.'))
    >>> standing_of_whole("links proved", {}, what="are proved", without="It has no link.").state.value
    'not done'
    """
    if not parts:
        return Standing(gate, State.NOT_DONE, None, (without,) if without else ())
    held = {name: worst for name, standings in parts.items() if (worst := gravest(standings)) is not None}
    state = _state(list(held.values()), [standing for standings in parts.values() for standing in standings])
    deciding = [standing for standings in parts.values() for standing in standings if standing.since is not None]
    if state in (State.FAILED, State.IN_DOUBT):
        deciding = [standing for standing in deciding if standing.state is state]
    since = max((standing.since for standing in deciding if standing.since), default=None)
    count = f"{len(parts) - len(held)} of {len(parts)} {what}."
    return Standing(gate, state, since if state is not State.NOT_DONE else None, (count, *_named(held)))


def _state(held: Sequence[Standing], every: Sequence[Standing]) -> State:
    states = {standing.state for standing in held}
    for grave in (State.FAILED, State.IN_DOUBT):
        if grave in states:
            return grave
    if not held:
        conceded = any(standing.state is State.ON_CONCESSION for standing in every)
        return State.ON_CONCESSION if conceded else State.PASSED
    begun = any(standing.state not in (State.NOT_DONE, State.WITHDRAWN) for standing in every)
    return State.IN_HAND if begun else State.NOT_DONE


def _named(held: Mapping[str, Standing]) -> tuple[str, ...]:
    """Name the parts that hold it, the gravest first, and how many more."""
    order = sorted(held, key=lambda name: (GRAVEST_FIRST.index(held[name].state), name))
    lines = [_line(name, held[name]) for name in order[:NAMED]]
    more = len(order) - NAMED
    return (*lines, f"And {more} more.") if more > 0 else tuple(lines)


def _line(name: str, standing: Standing) -> str:
    return f"{name[:1].upper()}{name[1:]}, {standing.gate}: {standing.state.value}."
