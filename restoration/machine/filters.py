"""How the lists are narrowed: by an address that people can share."""

import django_filters
from django.db.models import Exists, OuterRef, Q, QuerySet

from restoration.machine.models import Chassis, Design, Fitting, Interconnect, Query, Rack, Signal, Slot
from restoration.people.models import Person

YES_NO = (("yes", "yes"), ("no", "no"))


class InterconnectFilter(django_filters.FilterSet):
    """The wire list by what is painted on it, by signal, rack, loom, colour, and whether critical."""

    text = django_filters.CharFilter(label="Link, slot, terminal or signal", method="holding")
    signal = django_filters.CharFilter(label="Signal, whole name", field_name="signal__name")
    rack = django_filters.ModelChoiceFilter(
        label="Rack", queryset=Rack.objects.in_order(), to_field_name="code", method="in_rack", empty_label="any"
    )
    loom = django_filters.CharFilter(label="Loom", field_name="loom")
    colour = django_filters.CharFilter(label="Colour", field_name="colour", lookup_expr="iexact")
    critical = django_filters.ChoiceFilter(label="Critical", choices=YES_NO, method="by_critical", empty_label="any")

    class Meta:
        model = Interconnect
        fields: list[str] = []

    def holding(self, links: QuerySet[Interconnect], name: str, text: str) -> QuerySet[Interconnect]:
        """Those with the text in their code, their signal or the code of an end."""
        return links.filter(
            Q(code__icontains=text)
            | Q(signal__name__icontains=text)
            | Q(source__slot__code__icontains=text)
            | Q(load__slot__code__icontains=text)
            | Q(source__code__iexact=text)
            | Q(load__code__iexact=text)
        )

    def in_rack(self, links: QuerySet[Interconnect], name: str, rack: Rack) -> QuerySet[Interconnect]:
        """Those with an end in the rack."""
        return links.filter(Q(source__slot__rack=rack) | Q(load__slot__rack=rack))

    def by_critical(self, links: QuerySet[Interconnect], name: str, word: str) -> QuerySet[Interconnect]:
        """Those called critical, or all others."""
        return links.filter(is_critical=True) if word == "yes" else links.exclude(is_critical=True)


class SlotFilter(django_filters.FilterSet):
    """Slots by rack, by design, and whether a chassis is fitted."""

    text = django_filters.CharFilter(label="Code or function", method="holding")
    rack = django_filters.ModelChoiceFilter(
        label="Rack", queryset=Rack.objects.in_order(), to_field_name="code", empty_label="any"
    )
    design = django_filters.ModelChoiceFilter(
        label="Design", queryset=Design.objects.all(), to_field_name="number", empty_label="any"
    )
    empty = django_filters.ChoiceFilter(label="Empty", choices=YES_NO, method="by_empty", empty_label="any")

    class Meta:
        model = Slot
        fields: list[str] = []

    def holding(self, slots: QuerySet[Slot], name: str, text: str) -> QuerySet[Slot]:
        """Those with the text in their code or in what they do."""
        return slots.filter(Q(code__icontains=text) | Q(function__icontains=text))

    def by_empty(self, slots: QuerySet[Slot], name: str, word: str) -> QuerySet[Slot]:
        """Those without a chassis now, or those with one."""
        filled = Exists(Fitting.objects.standing().filter(slot=OuterRef("pk")))
        return slots.filter(~filled if word == "yes" else filled)


class ChassisFilter(django_filters.FilterSet):
    """Chassis by design, by builder, and whether fitted."""

    text = django_filters.CharFilter(label="Serial or remarks", method="holding")
    design = django_filters.ModelChoiceFilter(
        label="Design", queryset=Design.objects.all(), to_field_name="number", empty_label="any"
    )
    builder = django_filters.ModelChoiceFilter(
        label="Builder", queryset=lambda request: Person.objects.filter(chassis__isnull=False).distinct(),
        empty_label="anyone",
    )  # fmt: skip
    fitted = django_filters.ChoiceFilter(label="Fitted", choices=YES_NO, method="by_fitted", empty_label="any")

    class Meta:
        model = Chassis
        fields: list[str] = []

    def holding(self, chassis: QuerySet[Chassis], name: str, text: str) -> QuerySet[Chassis]:
        """Those with the text in their serial or in the remarks."""
        return chassis.filter(Q(serial__icontains=text) | Q(remarks__icontains=text))

    def by_fitted(self, chassis: QuerySet[Chassis], name: str, word: str) -> QuerySet[Chassis]:
        """Those in a slot now, or the others."""
        fitted = Exists(Fitting.objects.standing().filter(chassis=OuterRef("pk")))
        return chassis.filter(fitted if word == "yes" else ~fitted)


class DesignFilter(django_filters.FilterSet):
    """Designs by number or title."""

    text = django_filters.CharFilter(label="Number or title", method="holding")

    class Meta:
        model = Design
        fields: list[str] = []

    def holding(self, designs: QuerySet[Design], name: str, text: str) -> QuerySet[Design]:
        """Those with the text in their number or title."""
        return designs.filter(Q(number__icontains=text) | Q(title__icontains=text))


class SignalFilter(django_filters.FilterSet):
    """Signals by name."""

    text = django_filters.CharFilter(label="Name", field_name="name", lookup_expr="icontains")

    class Meta:
        model = Signal
        fields: list[str] = []


class QueryFilter(django_filters.FilterSet):
    """Queries by words, and whether they wait for an answer."""

    text = django_filters.CharFilter(label="Words or code", method="holding")
    open = django_filters.ChoiceFilter(label="Waiting", choices=YES_NO, method="by_open", empty_label="any")

    class Meta:
        model = Query
        fields: list[str] = []

    def holding(self, queries: QuerySet[Query], name: str, text: str) -> QuerySet[Query]:
        """Those with the text in the question, the answer, or what they are about."""
        return queries.filter(Q(question__icontains=text) | Q(answer__icontains=text) | Q(subject_code__icontains=text))

    def by_open(self, queries: QuerySet[Query], name: str, word: str) -> QuerySet[Query]:
        """Those waiting for an answer, or those answered."""
        return queries.filter(answered_at=None) if word == "yes" else queries.exclude(answered_at=None)
