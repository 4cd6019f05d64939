"""The people who rebuild the tide computer in the net loft. All invented."""

from dataclasses import dataclass

ROLES = (
    "site lead",
    "builder",
    "tester",
    "power responsible person",
    "drawings keeper",
    "storekeeper",
    "coordinator",
)


@dataclass(frozen=True)
class CastMember:
    """One volunteer; without an e-mail they never sign in and others enter for them."""

    short_name: str
    display_name: str
    email: str | None
    roles: tuple[str, ...]
    line: str

    @property
    def signs_in(self) -> bool:
        """Whether this person can be invited at all."""
        return self.email is not None


def _member(short_name: str, display_name: str, mailbox: str, roles: str, line: str) -> CastMember:
    email = f"{mailbox}@kestrelsands.example" if mailbox else None
    return CastMember(short_name, display_name, email, tuple(roles.split(", ")), line)


CAST = (
    _member(
        "Ama B.",
        "Ama Boakye",
        "ama",
        "site lead, tester",
        "Kept harbour radar running for thirty years; now keeps the net loft running.",
    ),
    _member(
        "Pilar",
        "Pilar Etxarte",
        "pilar",
        "builder",
        "Builds at her kitchen table two hours inland and posts photographs of every joint.",
    ),
    _member(
        "Tomasz",
        "Tomasz Wilga",
        "tomasz",
        "tester, builder",
        "Retired broadcast engineer; trusts an oscilloscope only after he has probed its calibrator.",
    ),
    _member(
        "Marek",
        "Marek Doubrava",
        "marek",
        "builder, tester",
        "Tram electrician with a lathe; slow, neat, and hard to reach in summer.",
    ),
    _member(
        "Ilse",
        "Ilse Brandvold",
        "ilse",
        "power responsible person, tester",
        "Appointed for everything that carries HT; holds the keys and the discharge stick.",
    ),
    _member(
        "Gwen",
        "Gwen Prothero",
        "gwen",
        "drawings keeper",
        "Redraws the survivors' blueprints and knows which line is evidence and which is guess.",
    ),
    _member(
        "Desmond",
        "Desmond Akintola",
        "desmond",
        "storekeeper",
        "Tests, labels and loans every valve; nothing leaves the store without a pencil line.",
    ),
    _member(
        "Hetty",
        "Hetty Larkrise",
        "hetty",
        "coordinator",
        "Knows who is coming, who needs a lift, and who has gone quiet.",
    ),
    _member(
        "Yusuf",
        "Yusuf Karadeniz",
        "yusuf",
        "builder, tester",
        "Teaches physics; brings two students at a time to the rack.",
    ),
    _member(
        "Bronagh",
        "Bronagh Tierney",
        "bronagh",
        "tester",
        "Marine electronics surveyor; writes fault notes others can follow.",
    ),
    _member(
        "Sven",
        "Sven Hallgard",
        "sven",
        "tester, builder",
        "Made the drum's new bearings and will not hear a word against them.",
    ),
    _member(
        "Noor",
        "Noor Sabbagh",
        "noor",
        "builder",
        "Learned to solder here in 2024; has finished more chassis than anyone since.",
    ),
    _member(
        "Callum",
        "Callum Strath",
        "callum",
        "builder",
        "Fisherman between seasons; builds when the boats are in.",
    ),
    _member(
        "Oona",
        "Oona Virtala",
        "oona",
        "tester, site lead",
        "Deputy to Ama on Sundays; came for the tide tables and stayed for the pulses.",
    ),
    _member(
        "Ravi",
        "Ravi Menonkar",
        "ravi",
        "builder",
        "Pattern maker; his wiring follows the chassis edge like a ruled line.",
    ),
    _member(
        "Kofi",
        "Kofi Ansong",
        "kofi",
        "builder, power responsible person",
        "Substation fitter; stands in for Ilse when she is away.",
    ),
    _member(
        "Walter",
        "Walter Tideswell",
        "",
        "builder",
        "Ninety-one, wired telephone exchanges; rings Hetty on Fridays and never signs in.",
    ),
    _member(
        "Edie",
        "Edie Marram",
        "",
        "builder",
        "Winds every coil by hand and sends her news on postcards.",
    ),
)

BY_SHORT_NAME = {member.short_name: member for member in CAST}


def who_may(role: str) -> tuple[str, ...]:
    """Short names of those who hold a role, in the order of the cast."""
    if role not in ROLES:
        raise ValueError(f"There is no role {role!r}; the roles are {', '.join(ROLES)}.")
    return tuple(member.short_name for member in CAST if role in member.roles)
