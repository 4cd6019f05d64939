"""Questions to the drawings keeper, and the answers."""

from datetime import datetime

from django.db import transaction

from restoration.common.moments import moment_of
from restoration.logbook.services import write_line
from restoration.machine.models import Query
from restoration.machine.services.saving import checked, refuse, stored, who
from restoration.people.models import Person


@transaction.atomic
def raise_query(
    *, question: str, by: Person | None, key: str | None = None, subject_kind: str = "", subject_code: str = ""
) -> Query:
    """Ask the drawings keeper; a query with a key is raised once, however often it comes up."""
    found = Query.objects.filter(key=key).first() if key else None
    if found:
        return found
    query = stored(
        Query(question=question, key=key, subject_kind=subject_kind, subject_code=subject_code, raised_by=by)
    )
    about = f" about {subject_kind} {subject_code}" if subject_code else ""
    _line("query raised", f"{who(by)} asked the drawings keeper{about}: {question}", query, by)
    return query


@transaction.atomic
def answer_query(*, query: Query, answer: str, by: Person, at: datetime | None = None) -> Query:
    """Answer a query, once."""
    row = Query.objects.select_for_update(no_key=True).get(pk=query.pk)
    if row.answered_at:
        raise refuse(f"{row.answered_by} answered this query already: {row.answer}")
    row.answer, row.answered_by, row.answered_at = answer, by, moment_of(at)
    checked(row).save(update_fields=["answer", "answered_by", "answered_at"])
    _line("query answered", f"{by} answered query {row.pk}: {answer}", row, by)
    return row


def _line(act: str, sentence: str, query: Query, by: Person | None) -> None:
    write_line(act=act, sentence=sentence, by=by, subject_kind="query", subject_code=str(query.pk))
