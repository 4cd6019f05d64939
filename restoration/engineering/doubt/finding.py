"""From a change to the evidence it puts in doubt: every rule of its kind, followed as far as it reaches."""

from collections.abc import Iterable, Iterator

from restoration.engineering.doubt.around import Surroundings
from restoration.engineering.doubt.group_reach import groups
from restoration.engineering.doubt.kinds import Kind, Reach
from restoration.engineering.doubt.reaching import Reaching
from restoration.engineering.doubt.records import DoubtFound, Subject
from restoration.engineering.doubt.rule import Rule, RuleBook
from restoration.engineering.doubt.sampling import ONLY_CRITICAL, Reached, asked_for, shortest

AT_A_SLOT = (("slot", "chassis"), "A change at a chassis names the chassis or its slot; neither was given.")
AT_A_WIRE = (("link",), "A change at a wire names the link; none was given.")
OF_A_DRAWING = (("issue",), "A drawing that was issued names the issue; none was given.")
NEEDS: dict[Kind, tuple[tuple[str, ...], str]] = {
    **dict.fromkeys((Kind.LIKE_VALVE, Kind.LIKE_PART, Kind.OTHER_PART), AT_A_SLOT),
    Kind.SWAPPED: (("slot",), "A swap names the slot in which chassis are swapped; none was given."),
    **dict.fromkeys((Kind.REMADE, Kind.LOAD, Kind.CONDITIONED), AT_A_WIRE),
    Kind.RAIL: (("rail",), "A change of a rail names the rail; none was given."),
    Kind.EARTH: (("earth", "racks"), "A change of an earth names the earth or the racks touched; neither was given."),
    **dict.fromkeys((Kind.DRAWING_AS_BUILT, Kind.DRAWING_FUNCTION), OF_A_DRAWING),
    Kind.INSTRUMENT: (("instrument",), "An instrument out of limits is named; none was given."),
    Kind.REST: (("racks", "slot", "chassis"), "A long rest names the racks that rested; none was given."),
    Kind.KNOCK: (
        ("racks", "slot", "chassis"),
        "A knock names the racks touched, or the one chassis or slot; none was given.",
    ),
}
"""What a change of each kind must name, one of them at least, and the refusal where it does not."""


def doubts(subject: Subject, book: RuleBook, around: Surroundings) -> tuple[DoubtFound, ...]:
    """Find all that a change puts in doubt, and what its rules pass over, by rule and then in walking order.

    Each rule of the kind of change is followed as far as it reaches; a thing that it reaches by several ways comes
    once, by the shortest of them, and what two rules reach comes once for each. Rules without gates find nothing.
    Limits: as good as what `around` knows; a stage that nobody called a barrier lets doubt pass. Common practice,
    no source. Errors: ValueError where the subject does not name what a change of its kind is about.

    >>> from restoration.engineering.doubt.defaults import DEFAULT_RULES
    >>> doubts(Subject(Kind.REMADE), RuleBook(DEFAULT_RULES), around=None)  # type: ignore[arg-type]
    Traceback (most recent call last):
    ...
    ValueError: A change at a wire names the link; none was given.
    """
    _refuse_what_names_nothing(subject)
    change = Reaching(subject, around)
    return tuple(found for rule in book.for_kind(subject.kind) for found in _by_rule(change, rule, book))


def _refuse_what_names_nothing(subject: Subject) -> None:
    names, refusal = NEEDS.get(subject.kind, ((), ""))
    if names and not any(getattr(subject, name) not in (None, ()) for name in names):
        raise ValueError(refusal)
    if subject.kind is Kind.INSTRUMENT and subject.since is None:
        raise ValueError("An instrument out of limits was last good at a moment; none was given.")


def _by_rule(change: Reaching, rule: Rule, book: RuleBook) -> Iterator[DoubtFound]:
    reached: Iterable[Reached] = ()
    if rule.gates:
        critical = rule.share in ONLY_CRITICAL
        in_groups = rule.reach is Reach.GROUPS
        reached = groups(change, rule, book) if in_groups else change.by(rule.reach, critical=critical)
    for one, why_not in asked_for(rule, shortest(reached)):
        if gates := one.gates(rule):
            yield DoubtFound(
                one.item, gates, rule.number, rule.version, one.path, one.record, is_asked=not why_not, why_not=why_not
            )
