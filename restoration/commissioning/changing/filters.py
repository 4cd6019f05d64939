"""Narrowing the list of changes by an address that can be shared."""

from datetime import date

import django_filters
from django import forms
from django.db.models import Q, QuerySet

from restoration.commissioning.changing.short_forms import SHORT_FORMS
from restoration.commissioning.models import Change
from restoration.engineering.doubt import RECORDED
from restoration.people.models import Person

DAY = forms.DateInput(attrs={"type": "date"})


def _hidden(path: str) -> django_filters.CharFilter:
    return django_filters.CharFilter(field_name=path, lookup_expr="exact", widget=forms.HiddenInput, strip=False)


class ChangeFilter(django_filters.FilterSet):
    """By kind, by slot, by link, by person, by day; and by what a page of the machine names."""

    kind = django_filters.ChoiceFilter(
        label="Kind",
        choices=[(SHORT_FORMS[kind].slug, SHORT_FORMS[kind].title) for kind in RECORDED],
        method="of_kind",
        empty_label="all",
    )
    slot = django_filters.CharFilter(label="Slot", field_name="slot__code", lookup_expr="icontains")
    link = django_filters.CharFilter(label="Link", field_name="interconnect__code", lookup_expr="icontains")
    person = django_filters.ModelChoiceFilter(
        label="Person", queryset=Person.objects.all(), method="by_person", empty_label="anybody"
    )
    since = django_filters.DateFilter(label="From", field_name="done_at", lookup_expr="date__gte", widget=DAY)
    until = django_filters.DateFilter(label="Until", method="not_after", widget=DAY)
    chassis = django_filters.CharFilter(widget=forms.HiddenInput, method="with_chassis", strip=False)
    rack = _hidden("racks__code")
    rail = _hidden("rail__code")
    earth = _hidden("earth__code")
    design = _hidden("issue__design__number")
    instrument = _hidden("instrument__mark")

    class Meta:
        model = Change
        fields: list[str] = []

    def of_kind(self, changes: QuerySet[Change], name: str, slug: str) -> QuerySet[Change]:
        """Those of one short form."""
        return changes.filter(kind=next(kind.value for kind in RECORDED if SHORT_FORMS[kind].slug == slug))

    def by_person(self, changes: QuerySet[Change], name: str, person: Person) -> QuerySet[Change]:
        """Those that a person made or saw."""
        return changes.filter(Q(done_by=person) | Q(second_person=person))

    def not_after(self, changes: QuerySet[Change], name: str, day: date) -> QuerySet[Change]:
        """Those made on this day or before it."""
        return changes.filter(done_at__date__lte=day)

    def with_chassis(self, changes: QuerySet[Change], name: str, serial: str) -> QuerySet[Change]:
        """Those made at a chassis, or by which it came out of its slot."""
        return changes.filter(Q(chassis__serial=serial) | Q(taken_out__chassis__serial=serial))
