"""The letters this site sends of itself; those with codes are the sign-in library's, in our words."""

from django.core.mail import send_mail
from django.template.loader import render_to_string

from restoration.people.models import Invitation
from restoration.people.services import whom_to_ask


def send_invitation(invitation: Invitation, link: str) -> bool:
    """Send the link to the one invited; say whether the mail server took the letter."""
    context = {"invitation": invitation, "link": link, "inviter": whom_to_ask(invitation)}
    try:
        send_mail(
            "Heaters On: you are invited",
            render_to_string("people/letters/invitation.txt", context),
            None,
            [invitation.email],
        )
    except OSError:  # also what a mail server refuses
        return False
    return True
