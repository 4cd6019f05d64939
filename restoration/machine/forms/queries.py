"""Forms for queries and answers."""

from django import forms

from restoration.common.posts import TokenForm
from restoration.machine.forms.fields import CodeField

KINDS = ("", "rack", "slot", "design", "chassis", "signal", "link")


class QueryForm(TokenForm):
    """A question to the drawings keeper."""

    question = forms.CharField(
        label="Your question", widget=forms.Textarea, max_length=10000, help_text="What does not agree, and where?"
    )
    subject_kind = forms.ChoiceField(
        label="About a", required=False, choices=[(kind, kind or "nothing in particular") for kind in KINDS]
    )
    subject_code = CodeField(label="Its code", required=False, max_length=300)


class AnswerForm(TokenForm):
    """The answer of the drawings keeper."""

    answer = forms.CharField(label="Answer", widget=forms.Textarea, max_length=10000)
