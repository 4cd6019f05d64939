"""The rules of doubt in force: the defaults, and over them what the site wrote, every version kept."""

from collections.abc import Collection
from dataclasses import replace
from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from restoration.commissioning.gates import RECORDED_OF
from restoration.commissioning.models.rules import RuleVersion, versions_in_order
from restoration.common.versions import EditedMeanwhile
from restoration.engineering.doubt import DEFAULT_RULES, Kind, Reach, Rule, RuleBook, Share
from restoration.logbook.services import write_line
from restoration.people.models import Person

DEFAULTS = RuleBook(DEFAULT_RULES)
BY_AN_INSTRUMENT: dict[str, tuple[str, ...]] = {"chassis": ("bench-tested",), "interconnect": ("signal-checked",)}


def rule_book(at: datetime | None = None) -> RuleBook:
    """Read the rules in force now, or at an earlier moment; one query."""
    rows = versions_in_order()
    newest = {row.number: row for row in (rows if at is None else rows.filter(written_at__lte=at))}
    if not newest:
        return DEFAULTS
    return RuleBook(worded(rule, newest.get(rule.number)) for rule in DEFAULT_RULES)


def worded(rule: Rule, row: RuleVersion | None) -> Rule:
    """A default rule as a version of the site words it; itself where there is none."""
    if row is None:
        return rule
    share = Share(row.share)
    return replace(
        rule, gates=frozenset(row.gates), share=share, one_in=row.one_in, reason=row.reason, version=row.version
    )


def gates_to_choose(rule: Rule) -> dict[str, tuple[str, ...]]:
    """The gates a rule may ask for, by the kind of thing it leads to, in the order in which they are passed."""
    if rule.reach is Reach.MADE_WITH:
        return BY_AN_INSTRUMENT
    return {kind: RECORDED_OF[kind] for kind in rule.leads_to}


def asked_in_words(rule: Rule) -> str:
    """What a rule asks for, in a few words: which gates, and how much of what it reaches.

    A rule without gates asks for nothing.
    """
    if not rule.gates:
        return "nothing"
    in_order = [gate for gates in gates_to_choose(rule).values() for gate in gates if gate in rule.gates]
    return f"{', '.join(in_order)} ({share_in_words(rule)})" if len(rule.shares) > 1 else ", ".join(in_order)


def share_in_words(rule: Rule) -> str:
    """How much of what it reaches a rule asks for, with its number."""
    return rule.share.value.replace("one in so many", f"one in {rule.one_in}")


def save_rule(
    *,
    number: int,
    version_seen: int,
    gates: Collection[str],
    share: str,
    one_in: int,
    reason: str,
    why: str,
    by: Person,
) -> RuleVersion:
    """Write a rule of doubt in other words, beside those it had; refused where somebody else did so meanwhile.

    What was done before keeps the rule that was in force then. Only limits are compared with those of today, which
    is no act of any moment, so for that rule standing is worked out again.
    """
    given = RuleVersion(
        number=number,
        version=version_seen + 1,
        gates=sorted(set(gates)),
        share=share,
        one_in=one_in,
        reason=reason.strip(),
        why=why.strip(),
        written_by=by,
    )
    with transaction.atomic():
        before = _as_seen(number, version_seen)
        _refuse(before, given)
        _store(given)
        now = worded(before, given)
        write_line(
            act="rule changed",
            sentence=f"{by} changed rule {number} of doubt, {before.kind}, {before.reach}: it asks for "
            f"{asked_in_words(now)}; before, {asked_in_words(before)}. Why: {given.why}",
            by=by,
            subject_kind="rule",
            subject_code=str(number),
            details={"version": given.version, "before": _details(before), "now": _details(now)},
        )
        if before.kind is Kind.LIMITS:
            _work_links_out()
    return given


def _work_links_out() -> None:
    from restoration.commissioning.services.standing import recompute_all  # which reads the rules from here

    recompute_all(("interconnect",))


def _as_seen(number: int, version_seen: int) -> Rule:
    """The rule as its writer saw it; what another wrote since is told, not lost."""
    rule = DEFAULTS.by_number.get(number)
    if rule is None:
        raise ValidationError(f"There is no rule {number}; the rules are numbered from 1 to {len(DEFAULTS.rules)}.")
    newest = versions_in_order().filter(number=number).last()
    if version_seen != (newest.version if newest else 0):
        if newest is None:
            raise ValidationError(f"Rule {number} has no version {version_seen}; open its page again.")
        raise EditedMeanwhile(newest)
    return worded(rule, newest)


def _store(given: RuleVersion) -> None:
    """Two at the same moment: the database lets one in, and the other is told."""
    try:
        with transaction.atomic():
            given.save(force_insert=True)
    except IntegrityError:
        newest = versions_in_order().filter(number=given.number).last()
        if newest is None:
            raise
        raise EditedMeanwhile(newest) from None


def _refuse(before: Rule, given: RuleVersion) -> None:
    wrong: dict[str, str] = {}
    allowed = [gate for gates in gates_to_choose(before).values() for gate in gates]
    if strange := [gate for gate in given.gates if gate not in allowed]:
        wrong["gates"] = f"This rule cannot ask for {', '.join(strange)}; it may ask for {', '.join(allowed)}."
    if given.share not in [share.value for share in before.shares]:
        shares = "; ".join(share.value for share in before.shares)
        wrong["share"] = f"This rule cannot ask for “{given.share}”; it may ask for: {shares}."
    if given.one_in < 1:
        wrong["one_in"] = f"“One in” takes a whole number from 1 up; {given.one_in} was given."
    if not given.reason:
        wrong["reason"] = "A rule carries its reason; write why this kind of change puts that evidence in doubt."
    if not given.why:
        wrong["why"] = "Say why the rule is changed; whoever reads it later will ask."
    if wrong:
        raise ValidationError(wrong)
    if replace(worded(before, given), version=before.version) == before:
        raise ValidationError("The rule says all this already; nothing was changed.")


def _details(rule: Rule) -> dict[str, object]:
    return {"gates": sorted(rule.gates), "share": rule.share.value, "one in": rule.one_in, "reason": rule.reason}
