"""The form in which a site writes a rule of doubt in other words."""

from typing import Any

from django import forms

from restoration.commissioning.rules import gates_to_choose
from restoration.common.posts import TokenForm
from restoration.common.versions import VersionField
from restoration.engineering.doubt import Rule, Share

SHARE_HELP = {
    Share.ALL: "all that it reaches",
    Share.CRITICAL: "only the critical ones",
    Share.SAMPLE: "one in so many, and at least one in each rack",
    Share.CRITICAL_SAMPLE: "one in so many of the critical ones",
    Share.CRITICAL_AND_SAMPLE: "all critical ones, and one in so many of the rest",
}
WHOLE = {"invalid": "“One in” takes a whole number, 5 say.", "min_value": "“One in” takes a whole number from 1 up."}


class RuleForm(TokenForm):
    """What the rule asks for, how much of what it reaches, and why; and why it is changed."""

    gates = forms.MultipleChoiceField(
        label="Gates it puts in doubt",
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text="With none ticked, the rule asks for nothing.",
    )
    share = forms.ChoiceField(label="How much of what it reaches")
    one_in = forms.IntegerField(
        label="One in",
        min_value=1,
        max_value=1000,
        required=False,
        error_messages=WHOLE,
        help_text="5 asks for every fifth.",
    )
    reason = forms.CharField(
        label="Reason of the rule",
        widget=forms.Textarea(attrs={"rows": 4}),
        error_messages={"required": "A rule carries its reason; write why this kind of change puts that in doubt."},
    )
    why = forms.CharField(
        label="Why it is changed now",
        widget=forms.Textarea(attrs={"rows": 2}),
        error_messages={"required": "Say why the rule is changed; whoever reads it later will ask."},
    )
    version = VersionField(min_value=0)

    def __init__(self, *args: Any, rule: Rule, **kwargs: Any) -> None:
        super().__init__(*args, initial=as_fields(rule), **kwargs)
        self.rule = rule
        of_one_kind = len(rule.leads_to) == 1
        choices = [
            (gate, gate if of_one_kind else f"{gate} ({kind})")
            for kind, gates in gates_to_choose(rule).items()
            for gate in gates
        ]
        self.fields["gates"].choices = choices  # type: ignore[attr-defined]
        self.fields["share"].choices = [(share.value, SHARE_HELP[share]) for share in rule.shares]  # type: ignore[attr-defined]
        if len(rule.shares) == 1:
            del self.fields["share"]
        if not can_sample(rule):
            del self.fields["one_in"]

    def clean_one_in(self) -> int:
        """Left empty, it stays as it was: a rule that asks for all does not use it."""
        return int(self.cleaned_data["one_in"] or self.rule.one_in)

    @property
    def given(self) -> dict[str, Any]:
        """What the service takes of it."""
        data = self.cleaned_data
        return {
            "version_seen": data["version"],
            "gates": data["gates"],
            "share": data.get("share", self.rule.share.value),
            "one_in": data.get("one_in", self.rule.one_in),
            "reason": data["reason"],
            "why": data["why"],
        }


def can_sample(rule: Rule) -> bool:
    """Whether a rule may ask for one in so many."""
    return Share.SAMPLE in rule.shares


def as_fields(rule: Rule) -> dict[str, Any]:
    """A rule by the names of the form's fields."""
    return {
        "gates": sorted(rule.gates),
        "share": rule.share.value,
        "one_in": rule.one_in,
        "reason": rule.reason,
        "version": rule.version,
    }
