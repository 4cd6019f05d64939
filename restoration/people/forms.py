"""Forms about people: an invitation, a person written down, a role, a name."""

from typing import Any

from django import forms

from restoration.common.posts import TokenForm
from restoration.people.models import Person
from restoration.people.roles import ROLES, Role

NAME_HELP = "As this person wants to be called; it stands beside everything they do here."


class RolesField(forms.MultipleChoiceField):
    """Parts to play, each with what it is for."""

    widget = forms.CheckboxSelectMultiple

    def __init__(self, **kwargs: Any) -> None:
        choices = [(role.value, f"{role.value}: {ROLES[role].purpose}") for role in Role]
        super().__init__(**{"choices": choices, "label": "Roles", **kwargs})
        self.error_messages["invalid_choice"] = f"There is no role “%(value)s”. The roles are: {', '.join(Role)}."

    def clean(self, value: Any) -> list[Role]:
        """Give roles rather than words."""
        return [Role(word) for word in super().clean(value)]


class NameField(forms.CharField):
    """What a person is called."""

    def __init__(self, **kwargs: Any) -> None:
        missing = {"required": "Give a name; it may be any name this person wants to be called by."}
        super().__init__(**{"label": "Name", "max_length": 80, "error_messages": missing, **kwargs})


class InviteForm(TokenForm):
    """Whom to invite, and as what."""

    name = NameField(help_text=NAME_HELP)
    email = forms.EmailField(
        label="E-mail address",
        help_text="The letter goes there, and later the codes to sign in with.",
        error_messages={
            "invalid": "That is not an e-mail address. It has the form name@place, with nothing before or after it.",
            "required": "Give the address that the letter goes to.",
        },
    )
    roles = RolesField(error_messages={"required": "Choose at least one role; it says what the person may do here."})


class PersonAddForm(TokenForm):
    """Somebody who never signs in. Roles are chosen only by those who may give them."""

    name = NameField(help_text=NAME_HELP)
    roles = RolesField(required=False)

    def __init__(self, *args: Any, may_give_roles: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not may_give_roles:
            del self.fields["roles"]


class RoleForm(TokenForm):
    """One more part for a person to play."""

    role = forms.ChoiceField(
        label="Role",
        widget=forms.RadioSelect,
        error_messages={"required": "Choose the role to give.", "invalid_choice": "That role cannot be given here."},
    )

    def __init__(self, *args: Any, person: Person, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["role"].choices = [  # type: ignore[attr-defined]
            (role.value, f"{role.value}: {ROLES[role].purpose}") for role in Role if role not in person.roles
        ]

    def clean_role(self) -> Role:
        """Give a role rather than a word."""
        return Role(self.cleaned_data["role"])


class NameForm(TokenForm):
    """One's own name, as one chooses it."""

    name = NameField(label="What you want to be called")
