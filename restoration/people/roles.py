"""What each role is for and what it allows: one table, and one question asked of it everywhere."""

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from restoration.people.models import Person


class Permission(StrEnum):
    """One act, or one kind of record, that a person may be allowed."""

    SEE_RECORDS = "read the machine's records"
    SEE_CONTACTS = "see how to reach people"
    INVITE_PEOPLE = "invite people and give them roles"
    RECORD_PEOPLE = "write down a person who never signs in"
    EDIT_MACHINE = "edit racks, slots, designs, signals and their limits"
    IMPORT_WIRE_LIST = "bring in a wire list"
    ASK_QUERY = "ask the drawings keeper a question"
    ANSWER_QUERY = "answer a query"
    ALLOT_CHASSIS = "allot a chassis to a builder"
    BUILD_CHASSIS = "move a chassis on and hand it over"
    RECEIVE_CHASSIS = "receive a chassis on site"
    CHECK_COLD = "check a chassis cold"
    BENCH_TEST = "test a chassis on the bench"
    FIT_CHASSIS = "fit a chassis into its slot or withdraw it"
    JOIN_WIRE = "join, lift and ring out interconnects"
    CHECK_SIGNAL = "record a signal check"
    ACCEPT_ON_CONCESSION = "accept something outside its limits, with a reason"
    RECORD_CHANGE = "record a change to the machine"
    SIGN_POWER = "sign for bonding, mains, heaters and HT"
    PROVE_GROUP = "sign for the checks of a group"
    EDIT_RULES = "change the rules of doubt"
    KEEP_STORES = "keep the list of what is in the stores"
    WRITE_RECIPES = "write down how a coil or part is made"
    FIT_CONSTANTS = "take wiring constants into use"
    KEEP_INSTRUMENTS = "keep the list of instruments"
    LOG_FAULT = "log a fault and what was tried"
    CLOSE_FAULT = "enter a fault's cause and cure"


class Role(StrEnum):
    """A part that a person plays in the project; one person may play several."""

    SITE_LEAD = "site lead"
    BUILDER = "builder"
    TESTER = "tester"
    POWER = "power responsible person"
    DRAWINGS = "drawings keeper"
    STORES = "storekeeper"
    COORDINATOR = "coordinator"


@dataclass(frozen=True)
class Allowance:
    """What a role is for, what it allows on anything, and what only on one's own."""

    purpose: str
    anything: frozenset[Permission]
    own: frozenset[Permission] = frozenset()


P = Permission
EVERYONE = frozenset({P.SEE_RECORDS, P.ASK_QUERY, P.LOG_FAULT})
AT_THE_RACK = frozenset(
    {P.RECEIVE_CHASSIS, P.CHECK_COLD, P.BENCH_TEST, P.FIT_CHASSIS, P.JOIN_WIRE, P.CHECK_SIGNAL, P.CLOSE_FAULT}
)

ROLES: dict[Role, Allowance] = {
    Role.SITE_LEAD: Allowance(
        "Plans the site day, decides what goes in next, and answers for the state of the machine.",
        frozenset(Permission) - {P.SIGN_POWER},
    ),
    Role.BUILDER: Allowance(
        "Builds chassis, at home or on site, and hands them over.",
        EVERYONE | {P.CHECK_COLD, P.WRITE_RECIPES},
        own=frozenset({P.BUILD_CHASSIS}),
    ),
    Role.TESTER: Allowance(
        "Receives, fits, joins, rings out and proves signals, always one of a pair.",
        EVERYONE | AT_THE_RACK | {P.KEEP_INSTRUMENTS, P.RECORD_CHANGE, P.PROVE_GROUP, P.FIT_CONSTANTS},
    ),
    Role.POWER: Allowance(
        "Is appointed and competent for HT and mains: says who may do what, and may always stop the work.",
        EVERYONE | {P.CHECK_COLD, P.BENCH_TEST, P.KEEP_INSTRUMENTS, P.RECORD_CHANGE, P.SIGN_POWER},
    ),
    Role.DRAWINGS: Allowance(
        "Guards drawings, their issues and what is authentic; answers queries.",
        EVERYONE
        | {
            P.EDIT_MACHINE,
            P.IMPORT_WIRE_LIST,
            P.ANSWER_QUERY,
            P.ACCEPT_ON_CONCESSION,
            P.RECORD_CHANGE,
            P.WRITE_RECIPES,
        },
    ),
    Role.STORES: Allowance(
        "Keeps parts, kits and loans, and takes in what arrives.",
        EVERYONE | {P.RECEIVE_CHASSIS, P.KEEP_STORES, P.WRITE_RECIPES},
    ),
    Role.COORDINATOR: Allowance(
        "Looks after the volunteers themselves: who is who, and how to reach them.",
        EVERYONE | {P.SEE_CONTACTS, P.RECORD_PEOPLE},
    ),
}


def may(person: "Person | None", permission: Permission, *, owner_id: int | None = None) -> bool:
    """Say whether this person may do this, on anything or, where the role says so, on their own."""
    if person is None or not person.is_authenticated or not person.is_active:
        return False
    allowances = [ROLES[role] for role in person.roles]
    if any(permission in allowance.anything for allowance in allowances):
        return True
    is_own = owner_id is not None and owner_id == person.pk
    return is_own and any(permission in allowance.own for allowance in allowances)


def may_some(person: "Person | None", permission: Permission) -> bool:
    """Say whether this person may do this on anything at all, if only on their own."""
    return may(person, permission) or may(person, permission, owner_id=person.pk if person else None)


def roles_that_may(permission: Permission) -> list[Role]:
    """List the roles to ask when one may not do a thing oneself."""
    return [role for role, allowance in ROLES.items() if permission in allowance.anything | allowance.own]
