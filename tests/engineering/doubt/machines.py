"""Machines at random: loops, parallel wires, wires back into their own slot, stages, barriers, chained terminals."""

from hypothesis import strategies as st

from restoration.engineering.doubt import DEFAULT_RULES, Kind, Rule, RuleBook, Share
from tests.engineering.doubt.drawn import Drawing, DrawnChassis, DrawnStage, DrawnWire

RACKS = {"A": ("A-01", "A-02"), "B": ("B-01", "B-02"), "C": ("C-01",)}
SLOTS = tuple(slot for slots in RACKS.values() for slot in slots)
MARKS = ("a", "b", "x", "y", "u")  # u is named by no stage

marks = st.sampled_from(MARKS)
slots = st.sampled_from(SLOTS)
stages = st.builds(
    DrawnStage,
    st.just("gate"),
    st.sampled_from([("a",), ("b",), ("a", "b")]),
    st.sampled_from([("x",), ("y",), ("x", "y")]),
    st.booleans(),
)
second_stages = st.builds(
    DrawnStage, st.just("follower"), st.sampled_from([("a",), ("b",)]), st.sampled_from([("x",), ("y",)]), st.booleans()
)
insides = st.one_of(st.just(()), st.tuples(stages), st.tuples(stages, second_stages))
some_slots = st.lists(slots, unique=True, max_size=4).map(tuple)


@st.composite
def machines(draw: st.DrawFn) -> Drawing:
    """A machine of five slots in three racks."""
    ends = draw(st.lists(st.tuples(slots, marks, slots, marks, st.booleans(), st.sampled_from(["", "L1"])), max_size=9))
    wires = tuple(
        DrawnWire(f"{number:02}", f"{source}:{out}", f"{load}:{into}", critical, loom)
        for number, (source, out, load, into, critical, loom) in enumerate(ends)
    )
    links = draw(st.lists(st.sampled_from([wire.code for wire in wires]), unique=True)) if wires else []
    return Drawing(
        racks=RACKS,
        wires=wires,
        designs={f"KS-{slot}": draw(insides) for slot in SLOTS},
        slots_of_design={slot: f"KS-{slot}" for slot in SLOTS},
        chassis=tuple(DrawnChassis(f"UN-{slot}", f"KS-{slot}", "B", slot) for slot in draw(some_slots)),
        rails={"HT-1": (draw(st.sampled_from(["HT", "heaters", "bias"])), draw(some_slots))},
        earths={"E-1": tuple(draw(st.lists(st.sampled_from(list(RACKS)), unique=True)))},
        groups={"G1": (draw(some_slots), tuple(links)), "G2": (draw(some_slots), ())},
    )


@st.composite
def changes(draw: st.DrawFn, drawing: Drawing) -> tuple[Kind, dict[str, object]]:
    """A change that can happen to a machine, by names."""
    at_slot = st.sampled_from([Kind.SWAPPED, Kind.LIKE_VALVE, Kind.LIKE_PART, Kind.OTHER_PART, Kind.WITHDRAWN])
    options = [
        st.tuples(at_slot, st.builds(dict, slot=slots)),
        st.tuples(st.just(Kind.RAIL), st.just({"rail": "HT-1"})),
        st.tuples(st.just(Kind.EARTH), st.just({"earth": "E-1"})),
        st.tuples(st.sampled_from([Kind.REST, Kind.KNOCK]), st.sampled_from([{"racks": ("A", "C")}, {"slot": "B-01"}])),
    ]
    if drawing.wires:
        at_link = st.sampled_from([Kind.REMADE, Kind.LOAD, Kind.CONDITIONED])
        codes = st.sampled_from([wire.code for wire in drawing.wires])
        options.append(st.tuples(at_link, st.builds(dict, link=codes)))
    return draw(st.one_of(options))


def with_share(rule: Rule, share: Share, one_in: int) -> Rule:
    """The rule with another share, where it may have it."""
    share = share if share in rule.shares else rule.share
    return Rule(rule.number, rule.kind, rule.reach, rule.gates, share, one_in, rule.reason)


EVERYTHING = RuleBook(with_share(rule, Share.ALL, 1) for rule in DEFAULT_RULES)
books = st.builds(
    lambda shares, one_in: RuleBook(
        with_share(rule, share, one_in) for rule, share in zip(DEFAULT_RULES, shares, strict=True)
    ),
    st.lists(st.sampled_from(list(Share)), min_size=len(DEFAULT_RULES), max_size=len(DEFAULT_RULES)),
    st.integers(1, 4),
)
