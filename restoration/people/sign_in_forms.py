"""Forms of signing in, in our words; the sign-in library checks what is in them."""

from allauth.account.forms import ConfirmLoginCodeForm, RequestLoginCodeForm
from allauth.mfa.webauthn.forms import AddWebAuthnForm
from django import forms

OWN_DEVICE_HELP = (
    "You stay signed in for half a year. Without the tick: until the browser closes, twelve hours at most."
)


class AddressForm(RequestLoginCodeForm):
    """Where to send the code, and how long the device may remember."""

    email = forms.EmailField(
        label="Your e-mail address",
        widget=forms.EmailInput(attrs={"autocomplete": "email", "autofocus": True}),
        error_messages={
            "invalid": "That is not an e-mail address. It has the form name@place, with nothing before or after it.",
            "required": "Give the e-mail address that the site lead invited you at.",
        },
    )
    own_device = forms.BooleanField(label="This is my own device", required=False, help_text=OWN_DEVICE_HELP)


class CodeForm(ConfirmLoginCodeForm):
    """The code from the letter."""

    code = forms.CharField(
        label="The code from the letter",
        widget=forms.TextInput(attrs={"autocomplete": "one-time-code", "autofocus": True, "spellcheck": "false"}),
        error_messages={"required": "Type the code from the letter."},
    )


class AddPasskeyForm(AddWebAuthnForm):
    """A name for the new passkey; the device itself fills in the rest."""

    name = forms.CharField(
        label="Name of the passkey", required=False, max_length=60, help_text="By which you will know it again."
    )
    passwordless = forms.BooleanField(widget=forms.HiddenInput, required=False, initial=True)
