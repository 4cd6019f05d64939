"""Invites somebody from the command line: the first site lead of a new server, above all."""

import json
from typing import Any

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandParser
from django.urls import reverse

from restoration.common.commands import needs_tables, refuse
from restoration.people import letters, services
from restoration.people.forms import InviteForm
from restoration.people.models import Invitation
from restoration.people.roles import Role


class Command(BaseCommand):
    help = "Invites somebody and prints the link. Exit status: 0 invited, 2 refused."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("name", help="how this person wants to be called")
        parser.add_argument("email", help="where the letter and later the codes go")
        parser.add_argument("--role", action="append", default=[], help=f"one of: {', '.join(Role)}; may be repeated")
        parser.add_argument("--json", action="store_true", help="print JSON for a program")

    @needs_tables
    def handle(self, *args: Any, **options: Any) -> None:
        form = InviteForm({"name": options["name"], "email": options["email"], "roles": options["role"]})
        if not form.is_valid():
            refuse(self, [str(each) for errors in form.errors.values() for each in errors], as_program=options["json"])
        given = form.cleaned_data
        try:
            invitation = services.invite(name=given["name"], email=given["email"], roles=given["roles"], by=None)
        except ValidationError as refusal:
            refuse(self, refusal.messages, as_program=options["json"])
        self._tell(invitation, options["json"])

    def _tell(self, invitation: Invitation, as_program: bool) -> None:
        link = settings.SITE_ADDRESS + reverse("people:invitation", args=[invitation.token])
        is_sent = bool(settings.EMAIL_HOST) and letters.send_invitation(invitation, link)
        if as_program:
            answer = {
                "name": invitation.display_name,
                "email": invitation.email,
                "roles": invitation.roles,
                "link": link,
                "expires_at": invitation.expires_at.isoformat(),
                "letter_sent": is_sent,
            }
            self.stdout.write(json.dumps(answer, ensure_ascii=False))
            return
        self.stdout.write(f"{invitation.display_name} is invited, until {invitation.expires_at:%d %b %Y}. The link:")
        self.stdout.write(link)
        self.stdout.write("A letter with it was sent." if is_sent else "No letter was sent; pass the link on yourself.")
