"""Row ids and the places that rows have in the arrays, either way, without one object a row."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

Integers = NDArray[np.int64]
SPARSE = 4  # ids that leave more than three gaps for each row are looked up in order instead of in a table


@dataclass(frozen=True, eq=False)
class Numbering:
    """Rows of one table: `ids[index]` is the id of the row at that place."""

    what: str
    ids: Integers

    def __len__(self) -> int:
        return len(self.ids)

    @cached_property
    def _table(self) -> NDArray[np.int32] | None:
        last = int(self.ids.max(initial=0))
        if last > SPARSE * len(self.ids) + 1000:
            return None
        table = np.full(last + 1, -1, dtype=np.int32)
        table[self.ids] = np.arange(len(self.ids), dtype=np.int32)
        return table

    @cached_property
    def _order(self) -> Integers:
        return np.argsort(self.ids, kind="stable")

    def indexes(self, ids: Integers) -> NDArray[np.int32]:
        """Give the places of these rows; refused where one of them is none of this table's."""
        table = self._table
        if table is None:
            found = self._searched(ids)
        elif len(ids) and (ids.min() < 0 or ids.max() >= len(table)):
            found = np.full(1, -1, dtype=np.int32)
        else:
            found = table[ids]
        if len(found) and found.min() < 0:
            raise LookupError(f"A {self.what} is asked for that the wiring in memory does not hold.")
        return found

    def _searched(self, ids: Integers) -> NDArray[np.int32]:
        at = np.searchsorted(self.ids, ids, sorter=self._order)
        found = self._order[np.minimum(at, len(self.ids) - 1)]
        return np.where(self.ids[found] == ids, found, -1).astype(np.int32)

    def index(self, pk: int) -> int:
        """Give the place of one row."""
        return int(self.indexes(np.array([pk], dtype=np.int64))[0])
