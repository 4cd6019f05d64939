"""Who may do what, and who plays which part."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse

from restoration.common.acting import answer_form
from restoration.common.pages import show
from restoration.common.posts import TokenForm, posted
from restoration.people import services
from restoration.people.access import needs, who
from restoration.people.forms import RoleForm
from restoration.people.models import Person, RoleHolding
from restoration.people.roles import ROLES, Permission, Role


@needs(Permission.SEE_RECORDS)
def roles(request: HttpRequest) -> HttpResponse:
    """The whole table: what each role is for, who plays it, and who may do what."""
    holders: dict[str, list[Person]] = {}
    standing = RoleHolding.objects.filter(ended_at=None, person__is_active=True).select_related("person")
    for holding in standing.order_by("person__display_name"):
        holders.setdefault(holding.role, []).append(holding.person)
    context = {
        "purposes": [(role, ROLES[role].purpose, holders.get(role, [])) for role in Role],
        "acts": [
            (
                permission,
                [role for role in Role if permission in ROLES[role].anything],
                [role for role in Role if permission in ROLES[role].own],
            )
            for permission in Permission
        ],
    }
    return show(request, "people/roles.html", context)


@needs(Permission.INVITE_PEOPLE)
def role_give(request: HttpRequest, pk: int) -> HttpResponse:
    """Give a person one more part to play."""
    person = get_object_or_404(Person.objects.present(), pk=pk)
    form = RoleForm(posted(request), person=person)

    def act() -> str:
        services.give_role(person=person, role=form.cleaned_data["role"], by=who(request))
        messages.success(request, f"{person} holds the role of {form.cleaned_data['role']} from now on.")
        return reverse("people:person-detail", args=[person.pk])

    return answer_form(request, form, act, "people/role_give.html", {"person": person})


@needs(Permission.INVITE_PEOPLE)
def role_end(request: HttpRequest, pk: int) -> HttpResponse:
    """End a part that a person plays."""
    holding = get_object_or_404(RoleHolding.objects.select_related("person"), pk=pk, ended_at=None)
    form = TokenForm(posted(request))

    def act() -> str:
        services.end_role(person=holding.person, role=Role(holding.role), by=who(request))
        messages.success(request, f"{holding.person} no longer holds the role of {holding.role}.")
        return reverse("people:person-detail", args=[holding.person_id])

    return answer_form(request, form, act, "people/role_end.html", {"holding": holding})
