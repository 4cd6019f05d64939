"""What narrows the list of lines in the log book."""

import django_filters as filters
from django import forms

from restoration.logbook.models import Entry

KINDS = (
    "chassis",
    "link",
    "rack",
    "slot",
    "design",
    "signal",
    "rail",
    "earth",
    "group",
    "fault",
    "instrument",
    "person",
    "query",
    "wire list",
    "rule",
    "sheet",
    "stores line",
    "wire kind",
)


def day(label: str, lookup: str) -> filters.DateFilter:
    """A day of the calendar, by when the act happened."""
    widget = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    return filters.DateFilter(field_name="happened_at", lookup_expr=lookup, label=label, widget=widget)


class EntryFilter(filters.FilterSet):
    """By words, by who, by what it is about, and by day."""

    text = filters.CharFilter(field_name="sentence", lookup_expr="icontains", label="Words in the line")
    who = filters.CharFilter(field_name="by_name", lookup_expr="icontains", label="Entered by")
    kind = filters.ChoiceFilter(
        field_name="subject_kind", choices=[(kind, kind) for kind in KINDS], label="About a", empty_label="anything"
    )
    code = filters.CharFilter(field_name="subject_code", lookup_expr="iexact", label="Code painted on it")
    since = day("From the day", "date__gte")
    until = day("To the day", "date__lte")

    class Meta:
        model = Entry
        fields: list[str] = []
