"""Who is who: the list, one person's page, a person written down, and one's own page."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse

from restoration.common.pages import show
from restoration.common.posts import posted, store_once
from restoration.people import services
from restoration.people.access import needs, signed_in, who
from restoration.people.filters import PersonFilter
from restoration.people.forms import NameForm, PersonAddForm
from restoration.people.models import Person
from restoration.people.roles import ROLES, Permission

ON_A_PAGE = 50


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
    narrowed = PersonFilter(request.GET, queryset=Person.objects.prefetch_related("holdings"))
    page = Paginator(narrowed.qs, ON_A_PAGE).get_page(request.GET.get("page"))
    return show(
        request, "people/person_list.html", {"filter": narrowed, "page_obj": page} | _allowed(request), fragment="rows"
    )


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
    if form.is_valid():

        def act() -> str:
            given = form.cleaned_data
            person = services.record_person(name=given["name"], roles=given.get("roles", []), by=who(request))
            messages.success(request, f"{person} is written down, and can be named as the doer of any act.")
            return reverse("people:person-detail", args=[person.pk])

        try:
            return redirect(store_once(form.cleaned_data["form_token"], act))
        except ValidationError as refusal:
            form.add_error(None, refusal)
    status = 422 if form.is_bound else 200
    return show(request, "people/person_add.html", {"form": form}, status=status)


@signed_in
def me(request: HttpRequest) -> HttpResponse:
    """One's own page: the name, the roles, the passkeys, and the way out."""
    myself = who(request)
    form = NameForm(posted(request), initial={"name": myself.display_name})
    if form.is_valid():

        def act() -> str:
            person = services.rename(person=myself, name=form.cleaned_data["name"])
            messages.success(request, f"You are called {person} from now on.")
            return reverse("people:me")

        try:
            return redirect(store_once(form.cleaned_data["form_token"], act))
        except ValidationError as refusal:
            form.add_error(None, refusal)
    roles = [(role, ROLES[role].purpose) for role in ROLES if role in myself.roles]
    status = 422 if form.is_bound else 200
    return show(request, "people/me.html", {"form": form, "my_roles": roles}, status=status)
