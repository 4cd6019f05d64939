"""What a gate is: its evidence, who may sign, and what opens it again."""

from dataclasses import dataclass

from restoration.people.roles import Permission


@dataclass(frozen=True)
class Gate:
    """One gate of a chassis, an interconnect, a rack or a group.

    A derived gate follows from other things and is never stored; a signed one is signed for by a gate record;
    the rest have records of a kind of their own. A live one is passed with heaters or HT on.
    """

    code: str
    evidence: str
    signed_by: Permission
    is_witnessed: bool
    reopened_by: str
    act: str
    is_derived: bool = False
    is_signed: bool = False
    is_live: bool = False
