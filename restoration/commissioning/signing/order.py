"""What must stand before a gate can be signed as passed, judged at the moment the gate was passed."""

from datetime import datetime
from typing import Any

from django.utils.text import capfirst

from restoration.commissioning.derived import links_of_groups, links_proved, members_fitted
from restoration.commissioning.facts import HISTORIES_OF, History, link_histories
from restoration.commissioning.gates import GATES_OF, LINK_GATES
from restoration.commissioning.reading import not_done
from restoration.engineering.standing import GOOD, Change, Evidence, Standing, State, all_standings, standing_of
from restoration.machine.models import Fitting, Slot
from restoration.proving.services.headings import named

POWER = {"heaters on": ("fitted",), "HT on": ("fitted", "heaters on")}
WRITE_TEST_FIRST = "its pass test is not written yet. Write the test before it is made."


def gates_before(kind: str, gate: str) -> tuple[str, ...]:
    """The gates of the same thing that come before one."""
    if kind == "chassis":
        return POWER.get(gate, ())
    return GATES_OF[kind][: GATES_OF[kind].index(gate)]


def standings_before(kind: str, item: Any, gate: str, at: datetime) -> list[Standing]:
    """How each gate before one stood at that moment, from the records themselves."""
    wanted = gates_before(kind, gate)
    history = HISTORIES_OF[kind]([item.pk])[item.pk]
    evidence, changes = _until(history, at)
    derived = _derived_at(item, at) if kind == "group" else {}
    return [derived.get(code) or standing_of(code, evidence, changes) for code in wanted]


def why_not_passed(kind: str, item: Any, gate: str, at: datetime) -> list[str]:
    """Say, each in a whole sentence, what keeps a gate from being signed as passed; nothing where it can be."""
    noun, code = named(item)
    start = f"{capfirst(noun)} {code} is not ready for “{gate}”"
    problems = [
        f"{start}: the gate “{standing.gate}” is {standing.state.value}."
        + "".join(f" {r}" for r in standing.reasons[:2])
        for standing in standings_before(kind, item, gate, at)
        if not stands_enough(kind, standing)
    ]
    if kind == "group" and not item.pass_test.strip():
        problems.insert(0, f"{start}: {WRITE_TEST_FIRST}")
    return problems


def stands_enough(kind: str, standing: Standing) -> bool:
    """Power goes on only over gates that stand; a group may be tried again while earlier proof is in doubt."""
    return standing.state in GOOD or (kind == "group" and standing.state is State.IN_DOUBT)


def _until(history: History, at: datetime) -> tuple[list[Evidence], list[Change]]:
    """What was known at that moment."""
    evidence = [record for record in history.evidence if record.at <= at]
    return evidence, [change for change in history.changes if change.at <= at]


def _derived_at(group: Any, at: datetime) -> dict[str, Standing]:
    links = links_of_groups([group.pk])[group.pk]
    proved = {}
    histories = link_histories(list(links))
    for pk, code in links.items():
        proved[f"link {code}"] = all_standings(LINK_GATES, *_until(histories[pk], at))
    return {
        "members fitted": members_fitted(_members_at(group, at)),
        "links proved": links_proved("links proved", proved, "It has no links yet."),
    }


def _members_at(group: Any, at: datetime) -> dict[str, Standing]:
    there = Fitting.objects.filter(slot__groups=group, fitted_at__lte=at).exclude(removed_at__lte=at)
    since = dict(there.values_list("slot_id", "fitted_at"))
    members = Slot.objects.filter(groups=group).values_list("pk", "code").order_by("code")
    return {
        f"slot {code}": Standing("fitted", State.PASSED, since[pk]) if pk in since else not_done("fitted")
        for pk, code in members
    }
