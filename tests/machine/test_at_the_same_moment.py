"""What several people bring in, answer or edit at the same moment is stored once, and nothing is lost."""

from collections.abc import Callable
from typing import Any

from django.core.exceptions import ValidationError

from restoration.common.versions import EditedMeanwhile
from restoration.logbook.models import Entry
from restoration.logbook.services import check_whole_book
from restoration.machine.models import Chassis, Interconnect, Query, Slot, Terminal
from restoration.machine.services import (
    add_slot,
    answer_query,
    edit_chassis,
    import_wire_list,
    raise_query,
)
from restoration.people.models import Person
from tests.factories import make_chassis
from tests.machine.wire_lists import wire, wires

InThreads = Callable[..., list[Any]]


def bring_in(data: bytes) -> Callable[[], Any]:
    return lambda: import_wire_list(data=data, name="loft.csv", by=None, create_missing=True)


def test_the_same_list_twice_is_stored_once(in_threads: InThreads) -> None:
    rows = [wire(f"A-{n:02}:1", f"B-{n:02}:1", from_rack="A", to_rack="B", signal=f"gate {n}") for n in range(40)]
    data = wires(*rows, wire("D-01:1", "D-01:1"))
    outcomes = in_threads(*[bring_in(data)] * 3)
    assert [outcome.is_saved for outcome in outcomes] == [bool(outcome.plan.to_add) for outcome in outcomes]
    assert sorted(len(outcome.plan.to_add) for outcome in outcomes) == [0, 0, 41]
    (found,) = in_threads(
        lambda: (
            Interconnect.objects.count(),
            Query.objects.count(),
            Entry.objects.count(),
            check_whole_book().disagreement,
        )
    )
    assert found == (41, 1, 1, None)


def test_lists_that_overlap_are_both_in(in_threads: InThreads) -> None:
    one = wires(*[wire(f"A-{n:02}:1", "B-01:1", link=f"K{n}") for n in range(20)])
    other = wires(*[wire(f"A-{n:02}:1", "B-01:1", link=f"K{n}") for n in range(10, 30)])
    outcomes = in_threads(bring_in(one), bring_in(other), lambda: add_slot(code="A-05", by=None))
    assert all(outcome.is_saved for outcome in outcomes[:2])
    assert isinstance(outcomes[2], Slot | ValidationError)
    (found,) = in_threads(lambda: (Interconnect.objects.count(), Terminal.objects.count(), Slot.objects.count()))
    assert found == (30, 31, 31)


def test_a_query_is_raised_and_answered_once(in_threads: InThreads, drawings_keeper: Person) -> None:
    query = raise_query(question="Which end?", by=drawings_keeper)
    answers = [
        lambda text=text: answer_query(query=query, answer=text, by=drawings_keeper) for text in ("Left.", "Right.")
    ]
    given = in_threads(*answers)
    assert sorted(type(each).__name__ for each in given) == ["Query", "ValidationError"]
    won = next(each for each in given if isinstance(each, Query))
    (stored,) = in_threads(lambda: Query.objects.get().answer)
    assert stored == won.answer


def test_of_two_who_write_remarks_one_is_told(in_threads: InThreads, site_lead: Person) -> None:
    pk = make_chassis("SR-14").pk

    def write(words: str) -> Chassis:
        chassis = Chassis.objects.get(pk=pk)
        return edit_chassis(chassis=chassis, version=1, remarks=words, issue=chassis.issue, by=site_lead)

    given = in_threads(lambda: write("Lid bent."), lambda: write("Valve replaced."))
    told = next(each for each in given if isinstance(each, EditedMeanwhile))
    won = next(each for each in given if isinstance(each, Chassis))
    assert told.current.remarks == won.remarks
    assert won.version == 2
