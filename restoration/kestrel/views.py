"""In a demonstration only: come in as one of the cast, with no code."""

from typing import Any

from django.conf import settings
from django.contrib.auth import login
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from restoration.common.pages import show
from restoration.kestrel.cast import CAST
from restoration.kestrel.tries import failing_capture, things_to_try
from restoration.machine.models import Machine
from restoration.people.access import open_page
from restoration.people.models import Person
from restoration.people.sessions import forget_on_lent_device

EMAILS = [member.email for member in CAST if member.email]


def _only_in_a_demonstration() -> None:
    """Both must hold: the setting, and a database that the demonstration itself filled."""
    if not settings.DEMO or not Machine.objects.filter(is_demo=True).exists():
        raise Http404("There is no demonstration here.")


@never_cache
@open_page
def cast(request: HttpRequest) -> HttpResponse:
    """Everyone in the cast, what each plays, and a button to come in as one of them."""
    _only_in_a_demonstration()
    people = {person.email: person for person in Person.objects.present().filter(email__in=EMAILS)}
    context: dict[str, Any] = {
        "members": [(member, people.get(member.email)) for member in CAST],
        "next": request.GET.get("next", ""),
        "tries": [(each, people.get(each.email)) for each in things_to_try()],
    }
    return show(request, "kestrel/cast.html", context)


@open_page
@require_POST
def play(request: HttpRequest, pk: int) -> HttpResponse:
    """Come in as one of the cast."""
    _only_in_a_demonstration()
    person = get_object_or_404(Person.objects.present().filter(email__in=EMAILS), pk=pk)
    login(request, person)
    forget_on_lent_device(request.session)
    address = request.POST.get("next", "")
    is_ours = url_has_allowed_host_and_scheme(address, {request.get_host()}, require_https=request.is_secure())
    return redirect(address if is_ours else "commissioning:today")


@open_page
def capture(request: HttpRequest) -> HttpResponse:
    """A capture file to try a signal check with."""
    _only_in_a_demonstration()
    _, file = failing_capture()
    name = f'attachment; filename="{file.name}"'
    return HttpResponse(file.content, content_type="application/octet-stream", headers={"Content-Disposition": name})
