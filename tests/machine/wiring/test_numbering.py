"""Row ids to places in the arrays and back, dense or far apart."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from restoration.machine.wiring.numbering import Numbering

IDS = st.lists(st.integers(1, 10**12), unique=True, max_size=30)


@given(IDS, st.integers(0, 10**9))
def test_every_row_is_found_where_it_stands(ids: list[int], start: int) -> None:
    for given_ids in (ids, [start % 50 + n for n in range(len(ids))][::-1]):
        numbering = Numbering("slot", np.array(given_ids, dtype=np.int64))
        assert numbering.indexes(numbering.ids).tolist() == list(range(len(given_ids)))
        assert [numbering.index(pk) for pk in given_ids] == list(range(len(given_ids)))
        assert len(numbering) == len(given_ids)


@pytest.mark.parametrize("ids", [[], [3, 1, 2], [5, 10**12]])
@pytest.mark.parametrize("asked", [-1, 0, 4, 999, 10**13])
def test_a_row_that_is_not_held_is_refused(ids: list[int], asked: int) -> None:
    numbering = Numbering("slot", np.array(ids, dtype=np.int64))
    with pytest.raises(LookupError) as refused:
        numbering.index(asked)
    assert str(refused.value) == "A slot is asked for that the wiring in memory does not hold."


def test_far_ids_take_no_table() -> None:
    numbering = Numbering("slot", np.array([1, 10**12], dtype=np.int64))
    assert numbering._table is None
    assert numbering.indexes(np.array([10**12, 1, 1])).tolist() == [1, 0, 0]
