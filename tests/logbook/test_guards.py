import pytest
from django.db import IntegrityError, connection, transaction
from django.db.utils import InternalError

from restoration.logbook.models import Entry
from restoration.logbook.services import check_whole_book, write_line

REFUSED = (IntegrityError, InternalError)


@pytest.fixture
def line(site_lead):
    with transaction.atomic():
        return write_line(act="note", sentence="Ama opened the net loft.", by=site_lead)


@pytest.mark.parametrize(
    "statement",
    ["UPDATE logbook_entry SET sentence = 'nobody came'", "DELETE FROM logbook_entry"],
)
def test_the_database_refuses_to_change_or_lose_a_line(line, statement):
    with pytest.raises(REFUSED, match=r"The log book is only ever added to\."), transaction.atomic():
        connection.cursor().execute(statement)
    assert Entry.objects.get(number=1).sentence == "Ama opened the net loft."


@pytest.mark.skipif("connection.vendor != 'postgresql'")
def test_postgresql_refuses_to_empty_the_table(line):
    connection.check_constraints()  # those put off until the end would refuse it before the guard does
    with pytest.raises(REFUSED, match=r"The log book is only ever added to\."), transaction.atomic():
        connection.cursor().execute("TRUNCATE logbook_entry CASCADE")


@pytest.mark.django_db(transaction=True)
def test_a_test_database_can_still_be_emptied(site_lead):
    with transaction.atomic():
        write_line(act="note", sentence="A line that goes with the test.", by=site_lead)
    assert Entry.objects.count() == 1


def test_a_line_needs_the_transaction_of_its_act(transactional_db):
    with pytest.raises(RuntimeError, match="inside the transaction of its act"):
        write_line(act="note", sentence="Loose.", by=None)


@pytest.mark.skipif("connection.vendor != 'sqlite'")
def test_sqlite_refuses_to_write_a_line_over_another(line):
    columns = [field.column for field in Entry._meta.concrete_fields]
    chosen = ", ".join("'nobody came'" if column == "sentence" else column for column in columns)
    statement = f"INSERT OR REPLACE INTO logbook_entry ({', '.join(columns)}) SELECT {chosen} FROM logbook_entry"
    with pytest.raises(REFUSED, match=r"The log book is only ever added to\."), transaction.atomic():
        connection.cursor().execute(statement)
    assert Entry.objects.get(number=1).sentence == "Ama opened the net loft."


def test_a_line_holds_on_any_database_whatever_figures_it_tells(site_lead):
    with transaction.atomic():
        write_line(act="note", sentence="Limits.", by=site_lead, details={"least": -0.0, "most": [1e17, 2.5e-9]})
    assert check_whole_book().disagreement is None
