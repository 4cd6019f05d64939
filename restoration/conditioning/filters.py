"""How bench and place is narrowed: by an address that people can share."""

import django_filters
from django.db.models import Q, QuerySet

from restoration.machine.models import Interconnect, Rack


class BenchFilter(django_filters.FilterSet):
    """Links by the slot that drives them, and by its rack."""

    text = django_filters.CharFilter(label="Slot that drives, or link", method="holding")
    rack = django_filters.ModelChoiceFilter(
        label="Rack",
        queryset=Rack.objects.in_order(),
        to_field_name="code",
        field_name="source__slot__rack",
        empty_label="any",
    )

    class Meta:
        model = Interconnect
        fields: list[str] = []

    def holding(self, links: QuerySet[Interconnect], name: str, text: str) -> QuerySet[Interconnect]:
        """Those with the text in their code or in the code of the slot that drives them."""
        return links.filter(Q(code__icontains=text) | Q(source__slot__code__icontains=text))
