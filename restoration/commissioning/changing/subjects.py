"""What a change is about, named with its page, for the head of its form."""

from dataclasses import dataclass
from typing import Any

from restoration.commissioning.changing.asked import AskedForm

NOUNS = {"interconnect": "Link"}


@dataclass(frozen=True)
class Thing:
    """One thing, what it is called, the code painted on it, and its page where it has one."""

    noun: str
    code: str
    says: str = ""
    address: str = ""


def things_of(asked: AskedForm) -> list[Thing]:
    """Name what the address says that the change is about."""
    touched = asked.touched
    names = ("slot", "chassis", "interconnect", "rail", "earth", "instrument")
    things = [_thing(name, getattr(touched, name)) for name in names if getattr(touched, name) is not None]
    if touched.stage is not None:
        things.append(Thing("Stage", touched.stage.name))
    if asked.design is not None:
        things.append(_thing("drawing", asked.design))
    return things + [_thing("rack", rack) for rack in touched.racks]


def _thing(name: str, row: Any) -> Thing:
    code = next(str(getattr(row, field)) for field in ("code", "serial", "mark", "number") if hasattr(row, field))
    says = next((str(getattr(row, field)) for field in ("function", "title", "description") if hasattr(row, field)), "")
    address = row.get_absolute_url() if hasattr(row, "get_absolute_url") else ""
    return Thing(NOUNS.get(name, name.capitalize()), code, says, address)
