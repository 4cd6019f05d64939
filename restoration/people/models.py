"""The volunteers: the site's own user model, the roles they hold, and invitations."""

import secrets
from datetime import datetime
from functools import cached_property

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models
from django.db.models import F, Q
from django.utils import timezone

from restoration.people.roles import Permission, Role, may, may_some


class PersonQuerySet(models.QuerySet["Person"]):
    def present(self) -> "PersonQuerySet":
        """Those who take part now."""
        return self.filter(is_active=True)

    def holding(self, role: Role) -> "PersonQuerySet":
        """Those who hold a role now."""
        return self.filter(holdings__role=role, holdings__ended_at=None).distinct()

    def never_signing_in(self) -> "PersonQuerySet":
        """Those whose acts others enter for them."""
        return self.filter(email=None)


class PersonManager(BaseUserManager.from_queryset(PersonQuerySet)):  # type: ignore[misc]
    def get_by_natural_key(self, email: str) -> "Person":
        """Find a person by e-mail, in whatever case it was typed."""
        return self.get(email__iexact=email)


class Person(AbstractBaseUser):
    """A volunteer, under the name they chose; without an e-mail address they never sign in themselves."""

    email = models.EmailField(null=True, blank=True, unique=True)
    display_name = models.CharField(max_length=80)
    is_active = models.BooleanField(default=True)
    joined_at = models.DateTimeField(default=timezone.now)

    USERNAME_FIELD = "email"
    REQUIRED_FIELDS = ["display_name"]
    objects = PersonManager()

    class Meta:
        ordering = ["display_name", "pk"]
        verbose_name_plural = "people"

    def __str__(self) -> str:
        return self.display_name

    def save(self, *args: object, **kwargs: object) -> None:
        """Keep one spelling of an address, and none at all rather than an empty one."""
        self.email = (self.email or "").strip().lower() or None
        super().save(*args, **kwargs)  # type: ignore[arg-type]

    def has_usable_password(self) -> bool:
        """Nobody here has a password."""
        return False

    @cached_property
    def roles(self) -> frozenset[Role]:
        """The roles held now, read once for each loaded person."""
        held = [holding.role for holding in self.holdings.all() if holding.ended_at is None]
        return frozenset(Role(role) for role in held)

    @property
    def roles_in_words(self) -> str:
        """The roles held now, as they are written on a page."""
        return ", ".join(role for role in Role if role in self.roles)

    def may(self, permission: Permission, owner_id: int | None = None) -> bool:
        """Ask the one table what this person may do."""
        return may(self, permission, owner_id=owner_id)

    def may_some(self, permission: Permission) -> bool:
        """Say whether this person may do it at all, if only on their own."""
        return may_some(self, permission)


class RoleHolding(models.Model):
    """A role given to a person by another, from one day until another."""

    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="holdings")
    role = models.CharField(max_length=40, choices=[(role.value, role.value) for role in Role])
    given_by = models.ForeignKey(Person, null=True, on_delete=models.PROTECT, related_name="+")
    given_at = models.DateTimeField(default=timezone.now)
    ended_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["person", "role"],
                condition=Q(ended_at=None),
                name="role_held_once",
                violation_error_message="This person holds that role already.",
            ),
            models.CheckConstraint(
                condition=Q(ended_at=None) | Q(ended_at__gte=F("given_at")),
                name="role_ends_after_it_began",
                violation_error_message="A role cannot end before it was given.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.person}: {self.role}"


def new_token() -> str:
    """Make an address part that nobody can guess."""
    return secrets.token_urlsafe(24)


class InvitationQuerySet(models.QuerySet["Invitation"]):
    def still_open(self, now: datetime) -> "InvitationQuerySet":
        """Those that can be taken up now."""
        return self.filter(taken_up_at=None, expires_at__gt=now)


class Invitation(models.Model):
    """The site lead's invitation to one address; the button on its page takes it up."""

    email = models.EmailField()
    display_name = models.CharField(max_length=80)
    roles = models.JSONField(default=list)
    token = models.CharField(max_length=64, unique=True, default=new_token)
    invited_by = models.ForeignKey(Person, null=True, on_delete=models.PROTECT, related_name="+")
    invited_at = models.DateTimeField(default=timezone.now)
    expires_at = models.DateTimeField()
    taken_up_at = models.DateTimeField(null=True, blank=True)
    taken_up_by = models.OneToOneField(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="invitation"
    )

    objects = InvitationQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(taken_up_at=None, taken_up_by=None)
                | Q(taken_up_at__isnull=False, taken_up_by__isnull=False),
                name="invitation_taken_up_when_and_by_whom",
                violation_error_message="An invitation taken up says both when and by whom.",
            )
        ]

    def __str__(self) -> str:
        return f"invitation of {self.display_name}"
