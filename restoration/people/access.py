"""Every view says who may open it; a view that says nothing answers nobody."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, TypeVar, cast

from django.contrib.auth.views import redirect_to_login
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponseBase

from restoration.people.roles import Permission, may_some, roles_that_may

if TYPE_CHECKING:
    from restoration.people.models import Person

View = TypeVar("View", bound=Callable[..., Any])


@dataclass(frozen=True)
class Decision:
    """Who may open a view: anyone, anyone signed in, or those with a permission."""

    is_open: bool = False
    permission: Permission | None = None


OPEN = Decision(is_open=True)
SIGNED_IN = Decision()

# Views of libraries cannot be decorated where they stand; the whole of what the site mounts is named here.
LIBRARY_VIEWS: dict[str, Decision] = {
    "account_login": OPEN,
    "account_request_login_code": OPEN,
    "account_confirm_login_code": OPEN,
    "account_logout": OPEN,  # also leaves a sign-in that waits for its code
    "account_signup": OPEN,
    "account_inactive": OPEN,
    "account_reauthenticate": SIGNED_IN,
    "mfa_login_webauthn": OPEN,
    "mfa_index": SIGNED_IN,
    "mfa_list_webauthn": SIGNED_IN,
    "mfa_add_webauthn": SIGNED_IN,
    "mfa_reauthenticate_webauthn": SIGNED_IN,
    "mfa_edit_webauthn": SIGNED_IN,
    "mfa_remove_webauthn": SIGNED_IN,
}


def open_page(view: View) -> View:
    """Mark a view that answers visitors too."""
    view.access = OPEN  # type: ignore[attr-defined]
    return view


def signed_in(view: View) -> View:
    """Mark a view that answers whoever is signed in."""
    view.access = SIGNED_IN  # type: ignore[attr-defined]
    return view


def needs(permission: Permission) -> Callable[[View], View]:
    """Mark a view that answers those with this permission, if only on what is their own."""

    def mark(view: View) -> View:
        view.access = Decision(permission=permission)  # type: ignore[attr-defined]
        return view

    return mark


def decision_for(view: Callable[..., Any], url_name: str) -> Decision | None:
    """Find what was decided for a view; None where nobody decided."""
    return getattr(view, "access", None) or LIBRARY_VIEWS.get(url_name)


def refusal(permission: Permission) -> str:
    """Say what may not be done and whom to ask."""
    roles = " or ".join(f"a {role}" for role in roles_that_may(permission))
    return f"To {permission.value} is not among the things you may do here. Ask {roles}."


class AccessMiddleware:
    """Asks, before any view runs, whether this person may open it."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        return self.get_response(request)

    def process_view(
        self, request: HttpRequest, view: Callable[..., Any], args: Any, kwargs: Any
    ) -> HttpResponseBase | None:
        """Let the view run, send a visitor to sign in, or refuse with a sentence."""
        url_name = request.resolver_match.view_name if request.resolver_match else ""
        decision = decision_for(view, url_name)
        if decision is None:
            raise PermissionDenied("Nobody has decided yet who may open this page, so it stays shut.")
        if decision.is_open:
            return None
        if not request.user.is_authenticated:
            return redirect_to_login(request.get_full_path())
        if decision.permission and not may_some(request.user, decision.permission):
            raise PermissionDenied(refusal(decision.permission))
        return None


def require(person: Any, permission: Permission, *, owner_id: int | None = None) -> None:
    """Refuse, with whom to ask, unless this person may do this to this thing."""
    if not person.may(permission, owner_id=owner_id):
        raise PermissionDenied(refusal(permission))


def who(request: HttpRequest) -> "Person":
    """The person signed in; views behind a decision that asks for one always have one."""
    return cast("Person", request.user)
