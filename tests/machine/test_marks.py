"""Marks come from the app above, and sum up to one."""

from collections.abc import Iterator

import pytest

from restoration.machine import marks
from restoration.machine.marks import GateMark, Marks, marks_for, one_mark, set_marks_source


@pytest.fixture
def _source_put_back() -> Iterator[None]:
    kept = marks._source
    yield
    set_marks_source(kept)


def gates(*standings: str) -> list[GateMark]:
    return [GateMark(f"gate {place}", standing) for place, standing in enumerate(standings)]


@pytest.mark.parametrize(
    ("standings", "sum_of_them"),
    [
        ((), "not done"),
        (("not done", "not done"), "not done"),
        (("passed", "not done"), "in hand"),
        (("in hand", "not done"), "in hand"),
        (("passed", "passed"), "passed"),
        (("passed", "on concession"), "on concession"),
        (("on concession", "in doubt"), "in doubt"),
        (("in doubt", "failed", "withdrawn"), "failed"),
        (("withdrawn", "passed"), "withdrawn"),
    ],
)
def test_one_mark_never_hides_the_gravest(standings: tuple[str, ...], sum_of_them: str) -> None:
    assert one_mark(gates(*standings)) == sum_of_them


@pytest.mark.usefixtures("_source_put_back")
def test_marks_come_from_the_source_that_was_registered() -> None:
    asked = []

    def source(chassis_ids: object, interconnect_ids: object) -> Marks:
        asked.append((chassis_ids, interconnect_ids))
        return Marks(chassis={7: gates("passed")})

    set_marks_source(source)
    found = marks_for(chassis_ids=[7], interconnect_ids={9})
    assert asked == [([7], [9])]
    assert found.of_chassis(7)[0].label == "gate 0: passed"
    assert found.of_chassis(8) == found.of_interconnect(9) == []


@pytest.mark.usefixtures("_source_put_back")
def test_nothing_is_asked_about_nothing() -> None:
    set_marks_source(lambda chassis_ids, interconnect_ids: pytest.fail("asked about nothing"))
    assert marks_for() == Marks()
