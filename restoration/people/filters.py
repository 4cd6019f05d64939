"""What narrows the list of people."""

import django_filters as filters
from django import forms

from restoration.people.models import Person, PersonQuerySet
from restoration.people.roles import Role


class TickFilter(filters.Filter):
    """A tick, which is not there or counts."""

    field_class = forms.BooleanField


class PersonFilter(filters.FilterSet):
    """By a part of the name, by role, and whether those who left are shown too."""

    name = filters.CharFilter(field_name="display_name", lookup_expr="icontains", label="Name")
    role = filters.ChoiceFilter(
        choices=[(role.value, role.value) for role in Role], method="of_role", label="Role", empty_label="any role"
    )
    left = TickFilter(method="with_those_who_left", label="Also those who left")

    class Meta:
        model = Person
        fields: list[str] = []

    @property
    def qs(self) -> PersonQuerySet:
        """Those present, unless others are asked for as well."""
        people: PersonQuerySet = super().qs
        return people if self.form.cleaned_data.get("left") else people.present()

    def of_role(self, people: PersonQuerySet, name: str, role: str) -> PersonQuerySet:
        """Those who hold a role now."""
        return people.holding(Role(role))

    def with_those_who_left(self, people: PersonQuerySet, name: str, wanted: bool) -> PersonQuerySet:
        """Left to `qs`, which knows what else was asked."""
        return people
