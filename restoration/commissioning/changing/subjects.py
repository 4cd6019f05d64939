"""What a change is about, named with its page, for the head of its form."""

from dataclasses import dataclass
from typing import Any

from django.utils import timezone

from restoration.commissioning.changing.asked import AskedForm
from restoration.commissioning.changing.touched import Touched
from restoration.commissioning.models import Change

NAMES = ("slot", "chassis", "interconnect", "rail", "earth", "instrument")
WORDS = {"interconnect": "link"}
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
    drawing = [_thing("drawing", asked.design)] if asked.design is not None else []
    return [*_things(touched), *drawing, *(_thing("rack", rack) for rack in touched.racks)]


def things_of_change(change: Change) -> list[Thing]:
    """Name what a change that is on record was done to."""
    drawing = [_thing("drawing", change.issue.design)] if change.issue is not None else []
    return [*_things(change), *drawing, *(_thing("rack", rack) for rack in change.racks.all())]


def words_of_change(change: Change) -> dict[str, str | list[str]]:
    """What a change was done to, in the words of an address, so that a correction starts from it."""
    things = {
        WORDS.get(name, name): _code(getattr(change, name)) for name in NAMES if getattr(change, name) is not None
    }
    if change.issue is not None:
        things |= {"design": change.issue.design.number, "letter": change.issue.letter}
    since = {"since": f"{timezone.localtime(change.since):%Y-%m-%d}"} if change.since else {}
    return {**things, **since, "rack": [rack.code for rack in change.racks.all()]}


def _things(touched: Touched | Change) -> list[Thing]:
    things = [_thing(name, getattr(touched, name)) for name in NAMES if getattr(touched, name) is not None]
    return [*things, Thing("Stage", touched.stage.name)] if touched.stage is not None else things


def _code(row: Any) -> str:
    return next(str(getattr(row, field)) for field in ("code", "serial", "mark", "number") if hasattr(row, field))


def _thing(name: str, row: Any) -> Thing:
    says = next((str(getattr(row, field)) for field in ("function", "title", "description") if hasattr(row, field)), "")
    address = row.get_absolute_url() if hasattr(row, "get_absolute_url") else ""
    return Thing(NOUNS.get(name, name.capitalize()), _code(row), says, address)
