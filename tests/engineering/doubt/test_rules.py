"""The table of default rules: complete, stable, and each with a reason."""

import pytest

from restoration.engineering.doubt import (
    DEFAULT_RULES,
    FOLLOWING,
    LEADS_TO,
    RECORDED,
    Kind,
    Reach,
    Rule,
    RuleBook,
    Share,
)

BOOK = RuleBook(DEFAULT_RULES)


def asked(kind: Kind) -> dict[Reach, set[str]]:
    """What a kind of change asks for, by its reach."""
    return {rule.reach: set(rule.gates) for rule in BOOK.for_kind(kind)}


def test_every_kind_of_change_has_a_rule_and_every_reach_is_used_or_leads_somewhere():
    assert {rule.kind for rule in DEFAULT_RULES} == set(Kind)
    assert set(RECORDED) | set(FOLLOWING) == set(Kind)
    assert set(LEADS_TO) == set(Reach)


def test_the_numbers_run_from_one_without_a_gap():
    assert [rule.number for rule in BOOK.rules] == list(range(1, 58))


def test_every_reason_is_a_sentence():
    for rule in DEFAULT_RULES:
        assert rule.reason[0].isupper()
        assert rule.reason.endswith(".")
        assert rule.version == 0


def test_every_default_share_is_one_that_the_rule_may_have():
    assert [rule.number for rule in DEFAULT_RULES if rule.share not in rule.shares] == []


@pytest.mark.parametrize(
    ("kind", "expected"),
    [
        (Kind.FITTED, {Reach.CHASSIS: {"heaters on", "HT on"}, Reach.SLOT_LINKS: {"signal-checked"}}),
        (
            Kind.REFITTED,
            {Reach.CHASSIS: {"heaters on", "HT on"}, Reach.SLOT_LINKS: {"rung out", "signal-checked"}},
        ),
        (Kind.SENT_BACK, {Reach.CHASSIS: {"received", "cold-checked", "bench-tested"}}),
        (Kind.JOINED, {Reach.LINK: {"rung out", "signal-checked"}}),
        (Kind.WIRE_LIST, {Reach.LINK: {"rung out", "signal-checked"}}),
        (
            Kind.OTHER_ENDS,
            {Reach.LINK: {"joined", "rung out", "signal-checked"}, Reach.SOURCE: {"signal-checked"}},
        ),
        (Kind.LIMITS, {Reach.LINK: {"signal-checked"}}),
        (Kind.FAULT, {Reach.LINK: {"signal-checked"}}),
    ],
)
def test_what_follows_from_acts_asks_for_what_those_acts_put_in_doubt(kind, expected):
    assert asked(kind) == expected


def test_a_book_refuses_a_number_given_twice():
    one = BOOK.by_number[1]
    with pytest.raises(ValueError, match=r"^Two rules have the number 1; every rule has its own\.$"):
        RuleBook([one, one])


def test_a_book_refuses_two_rules_for_one_reach_of_one_kind():
    one = BOOK.by_number[1]
    two = Rule(2, one.kind, one.reach, one.gates, one.share, 5, "Again.")
    with pytest.raises(ValueError, match="Two rules speak of the same reach of the same kind of change"):
        RuleBook([one, two])


def test_a_book_is_asked_by_kind_and_reach():
    assert BOOK.gates(Kind.SWAPPED, Reach.SLOT_LINKS) == {"rung out", "signal-checked"}
    assert BOOK.gates(Kind.SWAPPED, Reach.LOOM) == frozenset()
    assert BOOK.rule(Kind.SWAPPED, Reach.LOOM) is None
    assert BOOK.rule(Kind.RAIL, Reach.RAIL_LINKS).share is Share.CRITICAL_AND_SAMPLE


@pytest.mark.parametrize(
    ("number", "shares"),
    [
        (2, tuple(Share)),
        (3, (Share.ALL, Share.CRITICAL)),
        (14, (Share.ALL,)),
        (19, (Share.ALL,)),
        (24, (Share.ALL, Share.SAMPLE)),
        (29, (Share.ALL,)),
    ],
)
def test_how_much_a_rule_may_ask_for_follows_from_what_it_reaches(number, shares):
    assert BOOK.by_number[number].shares == shares
