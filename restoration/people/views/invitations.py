"""Inviting, and the page that an invitation leads to."""

from typing import Any

from allauth.account.internal.flows.login_by_code import LoginCodeVerificationProcess
from allauth.core import ratelimit
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils import timezone

from restoration.common.acting import answer_form
from restoration.common.pages import show
from restoration.common.posts import posted
from restoration.people import letters, services
from restoration.people.access import needs, open_page, who
from restoration.people.adapter import OWN_DEVICE, TRIED_TOO_OFTEN
from restoration.people.forms import InviteForm
from restoration.people.models import Invitation, Person
from restoration.people.roles import ROLES, Permission


@needs(Permission.INVITE_PEOPLE)
def invite(request: HttpRequest) -> HttpResponse:
    """Invite somebody; below the form stand the invitations not yet taken up, with their links."""
    form = InviteForm(posted(request))
    made: list[Invitation] = []

    def act() -> str:
        given = form.cleaned_data
        made.append(services.invite(name=given["name"], email=given["email"], roles=given["roles"], by=who(request)))
        return reverse("people:invite")

    waiting = [(each, link_of(request, each)) for each in Invitation.objects.still_open(timezone.now())]
    answer = answer_form(request, form, act, "people/invite.html", {"waiting": waiting})
    for invitation in made:  # stored by now; a letter never goes out from within a transaction
        _tell_of_letter(request, invitation)
    return answer


def link_of(request: HttpRequest, invitation: Invitation) -> str:
    """The address that takes the invitation up."""
    return request.build_absolute_uri(reverse("people:invitation", args=[invitation.token]))


def _tell_of_letter(request: HttpRequest, invitation: Invitation) -> None:
    if letters.send_invitation(invitation, link_of(request, invitation)):
        messages.success(request, f"{invitation.display_name} is invited; the letter is on its way.")
    else:
        messages.warning(
            request,
            f"{invitation.display_name} is invited, but the letter could not be sent. The link stands below: "
            "pass it on yourself.",
        )


@open_page
def invitation(request: HttpRequest, token: str) -> HttpResponse:
    """Say who invites and as what; the button makes the person and sends the code to sign in with."""
    found = get_object_or_404(Invitation.objects.select_related("invited_by", "taken_up_by"), token=token)
    if request.user.is_authenticated:
        return _show(request, found, signed_in_already=True)
    if request.method != "POST":
        return _show(request, found)
    try:
        person = services.take_up(invitation=found)
    except ValidationError as refusal:
        return _show(request, found, status=422, refused=refusal.messages[0])
    if not ratelimit.consume(request, action="request_login_code", key=found.email):
        return _show(request, found, status=429, refused=TRIED_TOO_OFTEN)
    return _send_code(request, person)


def _show(request: HttpRequest, found: Invitation, *, status: int = 200, **more: Any) -> HttpResponse:
    is_over = found.taken_up_at is None and found.expires_at <= timezone.now()
    context = {
        "invitation": found,
        "inviter": services.whom_to_ask(found),
        "roles": [(role, ROLES[role].purpose) for role in ROLES if role in found.roles],
        "expired": services.expired(found) if is_over else "",
        **more,
    }
    return show(request, "people/invitation.html", context, status=status)


def _send_code(request: HttpRequest, person: Person) -> HttpResponse:
    request.session[OWN_DEVICE] = bool(request.POST.get(OWN_DEVICE))
    try:
        LoginCodeVerificationProcess.initiate(request=request, user=person, email=person.email)
    except OSError:
        messages.warning(
            request, "You are written down now, but the letter with the code could not be sent. Try again later."
        )
        return redirect("account_login")
    return redirect("account_confirm_login_code")
