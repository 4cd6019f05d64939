"""Every change of the worked table, followed on the drawn machine."""

import pytest

from restoration.engineering.doubt import DEFAULT_RULES, RECORDED, RuleBook, doubts
from tests.engineering.doubt.drawn import DrawnAround
from tests.engineering.doubt.small_machine import SMALL_MACHINE
from tests.engineering.doubt.worked_table import WORKED_TABLE, Worked, as_lines


@pytest.mark.parametrize("worked", WORKED_TABLE, ids=lambda worked: worked.name)
def test_each_change_puts_in_doubt_what_was_worked_out_by_hand(worked: Worked) -> None:
    around = DrawnAround(SMALL_MACHINE)
    found = doubts(around.subject(worked.kind, **worked.about), RuleBook(DEFAULT_RULES), around)
    assert as_lines(found) == worked.lines


def test_the_table_works_every_kind_of_change_that_people_record() -> None:
    assert {worked.kind for worked in WORKED_TABLE} >= set(RECORDED)
    assert len(WORKED_TABLE) >= 25
