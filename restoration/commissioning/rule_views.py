"""The rules of doubt as pages: all of them, and one with its history and the form that changes it."""

from dataclasses import dataclass
from itertools import groupby
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from restoration.commissioning.models import RuleVersion
from restoration.commissioning.models.rules import versions_in_order
from restoration.commissioning.rule_forms import RuleForm
from restoration.commissioning.rules import DEFAULTS, asked_in_words, rule_book, save_rule, worded
from restoration.common.acting import answer_form
from restoration.common.pages import show
from restoration.common.posts import posted
from restoration.engineering.doubt import FOLLOWING, RECORDED, Kind, Rule, RuleBook
from restoration.people.access import needs, who
from restoration.people.roles import Permission

TEMPLATE = "commissioning/rule_edit.html"


@dataclass(frozen=True)
class Wording:
    """One wording of a rule: the rule as it read, and who wrote it, when and why; nobody wrote the default."""

    rule: Rule
    row: RuleVersion | None = None

    @property
    def asked(self) -> str:
        """What it asks for, in words."""
        return asked_in_words(self.rule)


@needs(Permission.SEE_RECORDS)
def rule_list(request: HttpRequest) -> HttpResponse:
    """Every rule of doubt in force: first what people record, then what follows from other acts."""
    book = rule_book()
    kinds = [(kind, [Wording(rule) for rule in rules]) for kind, rules in _by_kind(book)]
    context = {
        "recorded": [(kind, rules) for kind, rules in kinds if kind in RECORDED],
        "following": [(kind, rules) for kind, rules in kinds if kind not in RECORDED],
        "count": len(book.rules),
        "changed": sum(rule.version > 0 for rule in book.rules),
    }
    return show(request, "commissioning/rule_list.html", context)


def _by_kind(book: RuleBook) -> list[tuple[Kind, list[Rule]]]:
    return [(kind, list(rules)) for kind, rules in groupby(book.rules, key=lambda rule: rule.kind)]


@require_safe
@needs(Permission.SEE_RECORDS)
def rule_edit(request: HttpRequest, number: int) -> HttpResponse:
    """One rule, and every wording it had; for those who may change it, the form."""
    context = _context(number)
    if who(request).may(Permission.EDIT_RULES):
        context["form"] = RuleForm(rule=context["rule"])
    return show(request, TEMPLATE, context)


@needs(Permission.EDIT_RULES)
def rule_change(request: HttpRequest, number: int) -> HttpResponse:
    """Write a rule in other words."""
    context = _context(number)
    form = RuleForm(posted(request), rule=context["rule"])

    def act() -> str:
        return save_rule(number=number, by=who(request), **form.given).get_absolute_url()

    done = f"Rule {number} reads otherwise from now on."
    return answer_form(request, form, act, TEMPLATE, context, done=done, stored=_stored, told=_told)


def _context(number: int) -> dict[str, Any]:
    default = DEFAULTS.by_number.get(number)
    if default is None:
        raise Http404(f"There is no rule {number}.")
    rows = list(versions_in_order().filter(number=number).select_related("written_by"))
    wordings = [Wording(default), *(Wording(worded(default, row), row) for row in rows)]
    now = wordings[-1].rule
    return {
        "rule": now,
        "asked": asked_in_words(now),
        "wordings": wordings[::-1],
        "is_recorded": default.kind in RECORDED,
        "is_following": default.kind in FOLLOWING,
        "is_of_today": default.kind is Kind.LIMITS,
    }


def _stored(row: RuleVersion) -> dict[str, Any]:
    """What the other one stored, by the names of the fields that hold one value each."""
    return {"share": row.share, "one_in": row.one_in, "reason": row.reason, "version": row.version}


def _told(row: RuleVersion) -> dict[str, Any]:
    """What the page says of the version that came between: what it asks for, by whom, when and why."""
    theirs = worded(DEFAULTS.by_number[row.number], row)
    return {"who": row.written_by, "when": row.written_at, "theirs_ask": asked_in_words(theirs), "their_why": row.why}
