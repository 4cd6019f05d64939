"""How rows are read for histories: parts of the machine, and columns without the cost of full conversion."""

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any, TypeVar

from django.db.models import ExpressionWrapper, F, Field, Func, QuerySet, TextField

from restoration.machine.models import Interconnect

PART = 20_000
Rows = TypeVar("Rows", bound=QuerySet[Any])


class stored_moment(Func):  # noqa: N801 - reads as a function, like F
    """A column of moments as the database keeps them: SQLite as text in UTC, PostgreSQL as moments.

    SQLite's driver calls back for every moment of a column it knows; as text, and read by `moment_kept`, they
    cost a tenth of that, and over a hundred thousand rows moments are the greater part of all reading.
    """

    template = "%(expressions)s"
    arity = 1
    output_field: "Field[Any, Any]" = TextField()

    def as_sqlite(self, compiler: Any, connection: Any, **context: Any) -> Any:
        return self.as_sql(compiler, connection, template="CAST(%(expressions)s AS TEXT)", **context)


def moment_kept(kept: Any) -> Any:
    """Read a moment as the database keeps it; None stays None."""
    return datetime.fromisoformat(f"{kept}+00:00") if isinstance(kept, str) else kept


class _MomentField(Field):
    def from_db_value(self, value: Any, *_: Any) -> Any:
        return moment_kept(value)


class moment(stored_moment):  # noqa: N801 - reads as a function, like F
    """A column of moments, read: for what there are fewer of."""

    output_field = _MomentField()


def as_text(name: str) -> ExpressionWrapper:
    """A column as the text that the database keeps."""
    return ExpressionWrapper(F(name), output_field=TextField())


@dataclass(frozen=True)
class Part:
    """Which items are read: some by row id, or those whose key lies from one number up to another; or all.

    The key of an interconnect is its source, so that all the loads of a source are in one part; the key of
    anything else is its row id.
    """

    ids: Collection[int] | None = None
    first: int | None = None
    until: int | None = None

    def of(self, rows: Rows, kind: str, path: str) -> Rows:
        """Narrow rows to those of the items of this part; `path` leads to the item, "" is the item itself."""
        if self.ids is not None:
            return rows.filter(**{f"{path or 'pk'}__in": self.ids})
        return self._between(rows, kind, path)

    def on_sources(self, rows: Rows, path: str) -> Rows:
        """Narrow rows to those of the interconnects of this part, and of the other loads of their sources."""
        if self.ids is None:
            return self._between(rows, "interconnect", path)
        sources = Interconnect.objects.filter(pk__in=self.ids).values("source_id")
        return rows.filter(**{f"{path}__source__in" if path else "source__in": sources})

    def _between(self, rows: Rows, kind: str, path: str) -> Rows:
        key = "source_id" if kind == "interconnect" else "pk"
        name = f"{path}__{key}" if path else key
        if self.first is not None:
            rows = rows.filter(**{f"{name}__gte": self.first})
        return rows if self.until is None else rows.filter(**{f"{name}__lt": self.until})


def parts_of(keys: QuerySet[Any], size: int) -> Iterator[Part]:
    """Cut everything into parts of about so many items, by their keys in order; together they leave nothing out."""
    first: int | None = None
    for number, key in enumerate(keys.iterator(chunk_size=size)):
        if number and number % size == 0 and key != first:
            yield Part(first=first, until=key)
            first = key
    yield Part(first=first)
