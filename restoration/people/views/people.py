"""Who is who: the list, one person's page, a person written down, and one's own page."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse

from restoration.common.acting import answer_form
from restoration.common.lists import narrowed, part_of
from restoration.common.pages import show
from restoration.common.posts import posted
from restoration.people import services
from restoration.people.access import needs, signed_in, who
from restoration.people.filters import PersonFilter
from restoration.people.forms import NameForm, PersonAddForm
from restoration.people.models import Person
from restoration.people.roles import ROLES, Permission


def _allowed(request: HttpRequest) -> dict[str, bool]:
    """What the page may offer or show to the one who asks."""
    may = who(request).may
    return {
        "may_see_contacts": may(Permission.SEE_CONTACTS),
        "may_invite": may(Permission.INVITE_PEOPLE),
        "may_record": may(Permission.RECORD_PEOPLE),
    }


@needs(Permission.SEE_RECORDS)
def person_list(request: HttpRequest) -> HttpResponse:
    """Everybody who takes part, with their roles."""
    filter_set = PersonFilter(request.GET, queryset=Person.objects.prefetch_related("holdings"))
    context = {"filter": filter_set, "page_obj": part_of(request, narrowed(filter_set))} | _allowed(request)
    return show(request, "people/person_list.html", context, fragment="rows")


@needs(Permission.SEE_RECORDS)
def person_detail(request: HttpRequest, pk: int) -> HttpResponse:
    """One person: roles now and before, and what the log book says last."""
    person = get_object_or_404(Person.objects.prefetch_related("holdings__given_by"), pk=pk)
    held = list(person.holdings.all())
    context = _allowed(request) | {
        "person": person,
        "now": [(holding, ROLES[holding.role].purpose) for holding in held if holding.ended_at is None],
        "before": [holding for holding in held if holding.ended_at is not None],
    }
    return show(request, "people/person_detail.html", context)


@needs(Permission.RECORD_PEOPLE)
def person_add(request: HttpRequest) -> HttpResponse:
    """Write down somebody who never signs in."""
    form = PersonAddForm(posted(request), may_give_roles=who(request).may(Permission.INVITE_PEOPLE))

    def act() -> str:
        given = form.cleaned_data
        person = services.record_person(name=given["name"], roles=given.get("roles", []), by=who(request))
        messages.success(request, f"{person} is written down, and can be named as the doer of any act.")
        return reverse("people:person-detail", args=[person.pk])

    return answer_form(request, form, act, "people/person_add.html")


@signed_in
def me(request: HttpRequest) -> HttpResponse:
    """One's own page: the name, the roles, the passkeys, and the way out."""
    myself = who(request)
    form = NameForm(posted(request), initial={"name": myself.display_name})

    def act() -> str:
        person = services.rename(person=myself, name=form.cleaned_data["name"])
        messages.success(request, f"You are called {person} from now on.")
        return reverse("people:me")

    roles = [(role, ROLES[role].purpose) for role in ROLES if role in myself.roles]
    return answer_form(request, form, act, "people/me.html", {"my_roles": roles})
