"""What is done about people: inviting, taking up an invitation, giving and ending roles, choosing a name."""

from collections.abc import Iterable
from datetime import datetime, timedelta

from django.conf import settings
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from restoration.people.acts import tell_act
from restoration.people.models import Invitation, Person, RoleHolding
from restoration.people.roles import Permission, Role


@transaction.atomic
def invite(
    *, name: str, email: str, roles: Iterable[Role], by: Person | None, now: datetime | None = None
) -> Invitation:
    """Invite one address; an invitation still open for it ends, so that one link counts."""
    now = now or timezone.now()
    email = email.strip().lower()
    known = Person.objects.filter(email=email).first()
    if known:
        raise ValidationError({"email": f"{email} is the address of {known} already; nobody needs to be invited."})
    _refuse_same_name(name)
    Invitation.objects.filter(email=email).still_open(now).update(expires_at=now)
    invitation = Invitation.objects.create(
        email=email,
        display_name=name.strip(),
        roles=in_order(roles),
        invited_by=by,
        invited_at=now,
        expires_at=now + timedelta(days=settings.INVITATION_DAYS),
    )
    sentence = f"{who(by)} invited {invitation.display_name}{as_roles(invitation.roles)}."
    tell_act(act="invite", sentence=sentence, by=by, person=None, at=now)
    return invitation


@transaction.atomic
def take_up(*, invitation: Invitation, now: datetime | None = None) -> Person:
    """Make the person who was invited, with their roles; taking it up again gives the same person."""
    now = now or timezone.now()
    invitation = Invitation.objects.select_for_update(of=("self",), no_key=True).get(pk=invitation.pk)
    if invitation.taken_up_by is not None:
        return invitation.taken_up_by
    if invitation.expires_at <= now:
        raise ValidationError(expired(invitation))
    giver = invitation.invited_by
    if giver is not None and not giver.may(Permission.INVITE_PEOPLE):
        raise ValidationError(
            f"{giver} may not invite people any more, so this invitation is no good. Ask a site lead."
        )
    if Person.objects.filter(email=invitation.email).exists():
        raise ValidationError("Somebody is written down under this address already. Sign in with it.")
    person: Person = Person.objects.create(email=invitation.email, display_name=invitation.display_name, joined_at=now)
    _give(person, invitation.roles, by=invitation.invited_by, now=now)
    invitation.taken_up_at, invitation.taken_up_by = now, person
    invitation.save(update_fields=["taken_up_at", "taken_up_by"])
    sentence = f"{person} took up the invitation of {who(invitation.invited_by)}{as_roles(invitation.roles)}."
    tell_act(act="take up invitation", sentence=sentence, by=person, person=person, at=now)
    return person


@transaction.atomic
def record_person(*, name: str, roles: Iterable[Role], by: Person, now: datetime | None = None) -> Person:
    """Write down someone who never signs in; others enter what they did."""
    now = now or timezone.now()
    _refuse_same_name(name)
    person: Person = Person.objects.create(display_name=name.strip(), email=None, joined_at=now)
    _give(person, in_order(roles), by=by, now=now)
    sentence = f"{by} wrote down {person}, who never signs in{as_roles(in_order(roles))}."
    tell_act(act="record person", sentence=sentence, by=by, person=person, at=now)
    return person


@transaction.atomic
def give_role(*, person: Person, role: Role, by: Person | None, now: datetime | None = None) -> RoleHolding:
    """Give a person a part to play."""
    now = now or timezone.now()
    Person.objects.select_for_update(no_key=True).get(pk=person.pk)
    if RoleHolding.objects.filter(person=person, role=role, ended_at=None).exists():
        raise ValidationError({"role": f"{person} holds the role of {role} already."})
    holding = RoleHolding.objects.create(person=person, role=role, given_by=by, given_at=now)
    sentence = f"{who(by)} gave {person} the role of {role}."
    tell_act(act="give role", sentence=sentence, by=by, person=person, at=now)
    return holding


@transaction.atomic
def end_role(*, person: Person, role: Role, by: Person, now: datetime | None = None) -> RoleHolding:
    """End a part that a person plays; someone who can sign in always stays site lead."""
    now = now or timezone.now()
    leads = list(
        RoleHolding.objects.select_for_update(of=("self",), no_key=True)
        .filter(role=Role.SITE_LEAD, ended_at=None, person__is_active=True)
        .exclude(person__email=None)
    )
    holding = RoleHolding.objects.filter(person=person, role=role, ended_at=None).first()
    if holding is None:
        raise ValidationError(f"{person} does not hold the role of {role}.")
    if role == Role.SITE_LEAD and not [lead for lead in leads if lead.person_id != person.pk]:
        raise ValidationError(f"{person} is the only site lead who signs in. Give that role to another person first.")
    holding.ended_at = max(now, holding.given_at)
    holding.save(update_fields=["ended_at"])
    sentence = f"{by} ended the role of {role} that {person} held."
    tell_act(act="end role", sentence=sentence, by=by, person=person, at=now)
    return holding


@transaction.atomic
def rename(*, person: Person, name: str, now: datetime | None = None) -> Person:
    """Take the name a person chooses to be called by; the log book keeps the former one in its lines."""
    former, chosen = person.display_name, name.strip()
    if former == chosen:
        return person
    _refuse_same_name(chosen, but=person)
    person.display_name = chosen
    person.save(update_fields=["display_name"])
    sentence = f"{former} is called {person} from now on."
    tell_act(act="rename", sentence=sentence, by=person, person=person, at=now or timezone.now())
    return person


def _refuse_same_name(name: str, *, but: Person | None = None) -> None:
    others = Person.objects.present().filter(display_name__iexact=name.strip())
    if others.exclude(pk=but.pk if but else None).exists():
        raise ValidationError(
            {"name": f"Somebody here is called {name.strip()} already. Add something that tells the two apart."}
        )


def _give(person: Person, roles: Iterable[str], *, by: Person | None, now: datetime) -> None:
    RoleHolding.objects.bulk_create(RoleHolding(person=person, role=role, given_by=by, given_at=now) for role in roles)


def expired(invitation: Invitation) -> str:
    """Say that an invitation is no longer good, and whom to ask."""
    until = timezone.localtime(invitation.expires_at)
    return (
        f"This invitation was good until {until:%d %b %Y, %H:%M}. "
        f"Ask {whom_to_ask(invitation)} for a new one; nothing was lost."
    )


def whom_to_ask(invitation: Invitation) -> str:
    """Name who invited, or the part they play where a command did."""
    return str(invitation.invited_by) if invitation.invited_by else "a site lead"


def who(person: Person | None) -> str:
    """Name the actor of a sentence."""
    return str(person) if person else "Somebody at the command line"


def in_order(roles: Iterable[Role]) -> list[str]:
    """List roles once each, in the order of the table."""
    chosen = set(roles)
    return [role.value for role in Role if role in chosen]


def as_roles(roles: list[str]) -> str:
    """Write roles into a sentence: “, as builder and tester”."""
    if not roles:
        return ""
    *first, last = roles
    return f", as {', '.join(first)} and {last}" if first else f", as {last}"
