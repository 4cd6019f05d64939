"""What the commands about a link have in common: finding it, reading parts, telling what is known."""

from argparse import ArgumentParser
from typing import Any

from restoration.common.text import can_be_stored
from restoration.conditioning.choosing import Chosen
from restoration.conditioning.known import KnownCase, case_of
from restoration.engineering.figures import OHMS, PICOFARADS, read_figure
from restoration.engineering.in_place import Arrangement
from restoration.engineering.in_place.arrangement import CAPACITOR, ROLES
from restoration.machine.models import Interconnect


def known_link(code: str) -> KnownCase:
    """All that is known of the link of this code; raises ValueError where it is not there, or cannot be predicted."""
    links = Interconnect.objects.with_ends().select_related("signal")
    link = links.filter(code=code).first() if can_be_stored(code) else None
    if link is None:
        raise ValueError(f"There is no link “{code}”; give the code as the wire list has it.")
    known = case_of(link)
    if known.case is None:
        raise ValueError(" ".join(map(str, known.missing)))
    return known


def as_arguments(parser: ArgumentParser) -> None:
    """Let parts be given by hand, one option a place."""
    for role, (_, place) in ROLES.items():
        parser.add_argument(option_of(role), dest=role, default="", help=f"value {place}, such as 330, 4k7 or 47p")


def option_of(role: str) -> str:
    """The option of a place: --series-ohm."""
    return f"--{role.replace('_', '-')}"


def read_parts(options: dict[str, Any]) -> Chosen | None:
    """The parts that a command line gives in place of all that is on the link; None where it gives none."""
    values = {
        role: read_figure(options[role], PICOFARADS if kind == CAPACITOR else OHMS)
        for role, (kind, _) in ROLES.items()
        if options.get(role)
    }
    return Chosen(Arrangement.of_dict(values), {}) if values else None


def told_of_known(known: KnownCase) -> dict[str, Any]:
    """What a prediction rests on, for a program."""
    return {
        "link": known.link.code,
        "facts": [{"name": fact.name, "value": fact.value, "from": fact.whence} for fact in known.facts],
        "assumed": list(known.assumed),
        "limits": {
            quantity: {"least": row.least, "nominal": row.nominal, "most": row.most}
            for quantity, row in known.limits.items()
        },
    }
