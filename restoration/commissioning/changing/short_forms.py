"""The short form of each kind of change: its heading, what it is about, who may record it, and its caution."""

from dataclasses import dataclass

from restoration.engineering.doubt import RECORDED, Kind
from restoration.people.roles import Permission

P = Permission
UNIT = ("slot", "chassis")
DEAD, POWER = "dead", "power"


@dataclass(frozen=True)
class ShortForm:
    """One kind of change as people meet it: `names` are the words of its address, `about` those of which one must be
    given. `allowed` is what a person must be allowed besides recording changes; `caution` what stands above the form.
    """

    kind: Kind
    title: str
    press: str
    says: str
    names: tuple[str, ...]
    about: tuple[str, ...]
    allowed: Permission | None = None
    caution: str = POWER

    @property
    def slug(self) -> str:
        """The word for it in addresses."""
        return slug_of(self.kind)

    @property
    def permissions(self) -> tuple[Permission, ...]:
        """All that a person must be allowed to record it."""
        return (P.RECORD_CHANGE, *((self.allowed,) if self.allowed else ()))


def slug_of(kind: Kind) -> str:
    """The word for a kind of change in addresses, such as `like-valve`."""
    return kind.name.lower().replace("_", "-")


_FORMS = (
    ShortForm(
        Kind.SWAPPED,
        "Swap a chassis",
        "It is swapped",
        "One chassis comes out of its slot and another goes in.",
        ("slot", "chassis"),
        ("slot",),
        P.FIT_CHASSIS,
    ),
    ShortForm(
        Kind.LIKE_VALVE,
        "A valve replaced by one like it",
        "It is replaced",
        "The same type, tested before it went in.",
        (*UNIT, "stage"),
        UNIT,
    ),
    ShortForm(
        Kind.LIKE_PART,
        "A part replaced by one like it",
        "It is replaced",
        "The same value and kind, measured before it went in.",
        (*UNIT, "stage"),
        UNIT,
    ),
    ShortForm(
        Kind.OTHER_PART,
        "A valve or part of another value or type",
        "It is changed",
        "What is in the chassis now is not what was there before.",
        (*UNIT, "stage"),
        UNIT,
    ),
    ShortForm(
        Kind.REMADE,
        "A wire made again or led another way",
        "It is made again",
        "Joints of a wire were made again, or it runs by another way now.",
        ("link",),
        ("link",),
        P.JOIN_WIRE,
        DEAD,
    ),
    ShortForm(
        Kind.LOAD,
        "A load added or lifted",
        "Record it",
        "Something more, or less, hangs on a source. A wire of the wire list is joined or lifted on its own page.",
        ("link",),
        ("link",),
        None,
        DEAD,
    ),
    ShortForm(
        Kind.CONDITIONED,
        "An attenuator or terminator fitted or changed",
        "Record it",
        "A part that makes a signal smaller or keeps it from coming back.",
        ("link",),
        ("link",),
        None,
        DEAD,
    ),
    ShortForm(
        Kind.RAIL,
        "A rail, its supply or decoupling changed",
        "It is changed",
        "All that hangs on the rail feels it.",
        ("rail",),
        ("rail",),
    ),
    ShortForm(
        Kind.EARTH,
        "An earth or screen changed",
        "It is changed",
        "All racks on the earth feel it.",
        ("earth",),
        ("earth",),
    ),
    ShortForm(
        Kind.DRAWING_AS_BUILT,
        "A drawing corrected to what is built",
        "It is issued",
        "The drawing follows the chassis; nothing on the machine was touched.",
        ("design", "letter"),
        ("design",),
        P.EDIT_MACHINE,
        "",
    ),
    ShortForm(
        Kind.DRAWING_FUNCTION,
        "A drawing issued with another function",
        "It is issued",
        "Chassis built to an older issue wait for a decision.",
        ("design", "letter"),
        ("design",),
        P.EDIT_MACHINE,
        "",
    ),
    ShortForm(
        Kind.INSTRUMENT,
        "An instrument found out of limits",
        "Record it",
        "All that was measured with it since its last good day is asked again.",
        ("instrument", "since"),
        ("instrument",),
        None,
        "",
    ),
    ShortForm(
        Kind.REST,
        "A long rest",
        "Record it",
        "Racks stood without power for longer than is good for them.",
        ("since", "rack"),
        (),
    ),
    ShortForm(
        Kind.KNOCK,
        "Knocked, moved or damp",
        "Record it",
        "A rack or a slot was knocked or moved, or water came to it.",
        ("rack", "slot"),
        ("rack", "slot"),
    ),
)
SHORT_FORMS: dict[Kind, ShortForm] = {form.kind: form for form in _FORMS}
BY_SLUG: dict[str, ShortForm] = {SHORT_FORMS[kind].slug: SHORT_FORMS[kind] for kind in RECORDED}
