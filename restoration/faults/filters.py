"""Narrowing the fault log by an address that can be shared."""

import django_filters
from django.db.models import Q, QuerySet

from restoration.faults.models import Fault
from restoration.machine.models import Rack

STATES = [("open", "open"), ("closed", "closed"), ("came back", "came back at least once")]


class FaultFilter(django_filters.FilterSet):
    """By words, by state, by rack, by link."""

    text = django_filters.CharFilter(label="Words in it", method="with_words")
    state = django_filters.ChoiceFilter(label="State", choices=STATES, method="in_state", empty_label="all")
    rack = django_filters.ModelChoiceFilter(
        label="Rack", queryset=Rack.objects.in_order(), method="at_rack", to_field_name="code", empty_label="all"
    )
    link = django_filters.CharFilter(label="Link", field_name="interconnect__code", lookup_expr="icontains")

    class Meta:
        model = Fault
        fields: list[str] = []

    def with_words(self, faults: QuerySet[Fault], name: str, text: str) -> QuerySet[Fault]:
        """Those whose symptom, cause or cure holds these words."""
        return faults.filter(Q(symptom__icontains=text) | Q(cause__icontains=text) | Q(cure__icontains=text))

    def in_state(self, faults: QuerySet[Fault], name: str, state: str) -> QuerySet[Fault]:
        """Open, closed, or seen again."""
        if state == "came back":
            return faults.exclude(reopenings=None).distinct()
        return faults.filter(closed_at__isnull=state == "open")

    def at_rack(self, faults: QuerySet[Fault], name: str, rack: Rack) -> QuerySet[Fault]:
        """Those on a wire with an end in this rack."""
        return faults.filter(Q(interconnect__source__slot__rack=rack) | Q(interconnect__load__slot__rack=rack))
