"""Writing down the groups of the machine: members, further links, and the pass test before the test."""

from collections.abc import Collection
from dataclasses import dataclass, field

from django.core.exceptions import ValidationError
from django.db import transaction

from restoration.commissioning.models import Group
from restoration.common.versions import save_version
from restoration.logbook.services import write_line
from restoration.machine.events import tell_facts_changed
from restoration.machine.models import Interconnect, Slot
from restoration.machine.services.saving import checked, stored, who
from restoration.people.models import Person


@dataclass(frozen=True)
class GroupGiven:
    """What a person says of a group; its members are slots, its further links lead out of them."""

    name: str
    purpose: str = ""
    pass_test: str = ""
    position: int = 0
    slots: Collection[Slot] = field(default_factory=tuple)
    further_links: Collection[Interconnect] = field(default_factory=tuple)

    def fields(self) -> dict[str, str | int]:
        """What the row itself keeps."""
        return {
            "name": self.name,
            "purpose": self.purpose,
            "pass_test": self.pass_test,
            "position": self.position,
        }


@transaction.atomic
def add_group(*, code: str, given: GroupGiven, by: Person | None) -> Group:
    """Put a functional part of the machine on the list of groups."""
    if not code.strip():
        raise ValidationError({"code": "Give the group a short code, by which people know it."})
    taken = {"code": f"There is a group {code} already; the code of a group is used once."}
    group = stored(Group(code=code, **given.fields()), taken=taken)
    _set_parts(group, given)
    sentence = f"{who(by)} put group {code}, {given.name}, on the list, with {_counted(given)}."
    _write(group, given, by, "group added", sentence, {})
    return group


@transaction.atomic
def edit_group(*, group: Group, version: int, given: GroupGiven, by: Person | None) -> Group:
    """Write a group anew, if nobody else did meanwhile; the log book keeps what stood there before."""
    group = Group.objects.select_for_update(no_key=True).get(pk=group.pk)
    before = {
        **{name: getattr(group, name) for name in given.fields()},
        "slots": sorted(group.slots.values_list("code", flat=True)),
        "further_links": sorted(group.further_links.values_list("code", flat=True)),
    }
    for name, value in given.fields().items():
        setattr(group, name, value)
    checked(group)
    save_version(group, version=version, **given.fields())
    _set_parts(group, given)
    tested = " Its pass test reads otherwise now." if before["pass_test"] != given.pass_test else ""
    sentence = f"{who(by)} wrote group {group.code}, {given.name}, anew: {_counted(given)}.{tested}"
    _write(group, given, by, "group edited", sentence, {"before": before})
    return group


def _set_parts(group: Group, given: GroupGiven) -> None:
    group.slots.set(given.slots)
    group.further_links.set(given.further_links)


def _counted(given: GroupGiven) -> str:
    members, links = len(given.slots), len(given.further_links)
    further = f" and {links} further link{'' if links == 1 else 's'}" if links else ""
    return f"{members} member{'' if members == 1 else 's'}{further}"


def _write(
    group: Group, given: GroupGiven, by: Person | None, act: str, sentence: str, details: dict[str, object]
) -> None:
    write_line(
        act=act,
        sentence=sentence,
        by=by,
        subject_kind="group",
        subject_code=group.code,
        details={
            "pass_test": given.pass_test,
            "slots": sorted(slot.code for slot in given.slots),
            "further_links": sorted(link.code for link in given.further_links),
            **details,
        },
    )
    tell_facts_changed(groups=[group.pk])
