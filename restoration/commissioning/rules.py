"""The rules of doubt in force: the defaults, and over them what the site wrote, every version kept."""

from dataclasses import replace
from datetime import datetime

from restoration.commissioning.models.rules import RuleVersion, versions_in_order
from restoration.engineering.doubt import DEFAULT_RULES, Rule, RuleBook, Share

DEFAULTS = RuleBook(DEFAULT_RULES)


def rule_book(at: datetime | None = None) -> RuleBook:
    """Read the rules in force now, or at an earlier moment; one query."""
    rows = versions_in_order()
    newest = {row.number: row for row in (rows if at is None else rows.filter(written_at__lte=at))}
    if not newest:
        return DEFAULTS
    return RuleBook(_overlaid(rule, newest.get(rule.number)) for rule in DEFAULT_RULES)


def _overlaid(rule: Rule, row: RuleVersion | None) -> Rule:
    if row is None:
        return rule
    share = Share(row.share)
    return replace(
        rule, gates=frozenset(row.gates), share=share, one_in=row.one_in, reason=row.reason, version=row.version
    )
