"""What this site decides where the sign-in library asks: invitation only, plain sentences, no second factor."""

from typing import Any

from allauth.account.adapter import DefaultAccountAdapter
from allauth.mfa.adapter import DefaultMFAAdapter
from django.contrib.auth.base_user import AbstractBaseUser
from django.http import HttpRequest
from django.urls import reverse

from restoration.people.sessions import forget_on_lent_device, remember_on_own_device

OWN_DEVICE = "own_device"

TRIED_TOO_OFTEN = "That was tried too often in a short time. Wait a few minutes, then ask for a new code."
WRONG_CODE = (
    "That is not the code we sent last. It is eight letters and figures, and upper or lower case does not matter; "
    "ask for a new one if the letter is older than fifteen minutes."
)
WRONG_PASSKEY = "This site does not know that passkey. Sign in with a code, and add the passkey again."


class SignInAdapter(DefaultAccountAdapter):
    """Sign-in by code or passkey for people who were invited."""

    error_messages = DefaultAccountAdapter.error_messages | {
        "account_inactive": "You are written down as having left. Ask a site lead.",
        "incorrect_code": WRONG_CODE,
        "too_many_login_attempts": TRIED_TOO_OFTEN,
        "rate_limited": TRIED_TOO_OFTEN,
    }

    def is_open_for_signup(self, request: HttpRequest) -> bool:
        """Nobody signs up; a site lead invites."""
        return False

    def get_login_stages(self) -> list[str]:
        """A passkey stands instead of the code; it is not asked for on top of it."""
        return ["allauth.account.stages.LoginByCodeStage"]

    def login(self, request: HttpRequest, user: AbstractBaseUser) -> None:
        """Sign in for as long as the device allows."""
        own_device = request.session.pop(OWN_DEVICE, False) or bool(request.POST.get(OWN_DEVICE))
        super().login(request, user)
        (remember_on_own_device if own_device else forget_on_lent_device)(request.session)

    def get_reauthentication_methods(self, user: Any) -> list[dict[str, str]]:
        """Before passkeys are changed, a new code or a passkey shows that it is still the same person."""
        methods = [{"id": "reauthenticate", "description": "a code", "url": reverse("account_reauthenticate")}]
        if user.is_authenticated and PasskeyAdapter().is_mfa_enabled(user):
            address = reverse("mfa_reauthenticate_webauthn")
            methods.append({"id": "mfa_reauthenticate:webauthn", "description": "a passkey", "url": address})
        return methods


class PasskeyAdapter(DefaultMFAAdapter):
    """Passkeys under this site's own words."""

    error_messages = DefaultMFAAdapter.error_messages | {"incorrect_code": WRONG_PASSKEY}

    def generate_authenticator_name(self, user: AbstractBaseUser, type: Any) -> str:
        """Offer a name for a new passkey."""
        return "This device"
