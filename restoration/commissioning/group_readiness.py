"""One group on one sheet: how its gates, members and links stand, and what is missing, the nearest first."""

from dataclasses import dataclass

from restoration.commissioning.gates import ACTS, LINK_GATES, RECORDED_OF
from restoration.commissioning.groups import links_of_group
from restoration.commissioning.models import Group
from restoration.commissioning.readiness import facts_of_links, facts_of_slots
from restoration.commissioning.reading import standings_of
from restoration.engineering.readiness import LinkFacts, Missing, RackReadiness, SlotFacts, rack_readiness
from restoration.engineering.standing import Standing, State
from restoration.machine.models import Slot


@dataclass(frozen=True)
class GroupSheet:
    """What the page of a group shows."""

    standings: tuple[Standing, ...]
    members: list[SlotFacts]
    links: list[LinkFacts]
    answer: RackReadiness
    sentence: str

    @property
    def missing(self) -> tuple[Missing, ...]:
        """What its members and links lack, the nearest first."""
        return self.answer.missing


def group_sheet(group: Group) -> GroupSheet:
    """Gather the sheet of one group, in a fixed number of queries."""
    slots = list(Slot.objects.from_the_top().select_related("rack"))
    facts = facts_of_slots(slots)
    own = set(group.slots.values_list("pk", flat=True))
    members = [facts[slot.pk] for slot in slots if slot.pk in own]
    links = [link for link, _ in facts_of_links(links_of_group(group))]
    answer = rack_readiness(
        group.code,
        members,
        links,
        chassis_gates=RECORDED_OF["chassis"],
        link_gates=LINK_GATES,
        slots_elsewhere=list(facts.values()),
    )
    standings = standings_of("group", [group.pk])[group.pk]
    return GroupSheet(standings, members, links, answer, _sentence(group, standings))


def _sentence(group: Group, standings: tuple[Standing, ...]) -> str:
    """Answer "is this group proved?" in one breath."""
    left = [standing for standing in standings if not standing.is_good]
    if not left:
        return "Every gate of this group stands."
    first = left[0]
    state = "" if first.state is State.NOT_DONE else f" ({first.state.value})"
    again = " again" if first.state in (State.IN_DOUBT, State.FAILED) else ""
    untested = "" if group.pass_test.strip() else " Its pass test is not written yet."
    return f"{len(left)} of {len(standings)} gates do not stand. Next: {ACTS[first.gate]}{again}{state}.{untested}"
