import json
from datetime import timedelta

import pytest
from django.db import connection, transaction

from restoration.logbook.chain import line_hash
from restoration.logbook.guards import install_guards, remove_guards
from restoration.logbook.models import Entry
from restoration.logbook.services import content, write_line


@pytest.fixture
def book(site_lead):
    with transaction.atomic():
        return [write_line(act="note", sentence=f"Line {n} was said.", by=site_lead) for n in range(1, 8)]


@pytest.fixture
def guards_away(book):
    """What somebody could do who has the database itself in hand."""
    remove_guards(connection)
    yield
    install_guards(connection)


def change(line, **fields):
    assert Entry.objects.filter(number=line).update(**fields) == 1


def change_a_word():
    change(3, sentence="Line 3 was never said.")


def change_the_time():
    change(4, happened_at=Entry.objects.get(number=4).happened_at - timedelta(microseconds=1))


def change_the_name():
    change(2, by_name="Somebody Else")


def change_a_detail():
    change(5, details={"why": "because"})


def take_a_line_out():
    Entry.objects.filter(number=3).delete()


def take_the_first_line_out():
    Entry.objects.filter(number=1).delete()


def take_a_line_out_and_close_the_gap():
    Entry.objects.filter(number=3).delete()
    for number in range(4, 8):
        change(number, number=number - 1)


def swap_two_lines():
    change(3, number=99)
    change(4, number=3)
    change(99, number=4)


def slip_a_line_in():
    for number in range(7, 3, -1):
        change(number, number=number + 1)
    third = Entry.objects.get(number=3)
    slipped = Entry.objects.get(number=8)
    slipped.number, slipped.sentence, slipped.previous_hash = 4, "Slipped in.", third.hash
    slipped.hash = line_hash(third.hash, content(slipped))
    slipped.save(force_insert=True)


def change_a_word_and_its_hash():
    entry = Entry.objects.get(number=3)
    entry.sentence = "Line 3 was never said."
    change(3, sentence=entry.sentence, hash=line_hash(entry.previous_hash, content(entry)))


TAMPERINGS = [
    (change_a_word, 3, "line 3 does not say what was written"),
    (change_the_time, 4, "line 4 does not say what was written"),
    (change_the_name, 2, "line 2 does not say what was written"),
    (change_a_detail, 5, "line 5 does not say what was written"),
    (take_a_line_out, 3, "line 3 is missing: after it comes line 4"),
    (take_the_first_line_out, 1, "line 1 is missing: after it comes line 2"),
    (take_a_line_out_and_close_the_gap, 3, "line 3 does not follow the line before it"),
    (swap_two_lines, 3, "line 3 does not follow the line before it"),
    (slip_a_line_in, 5, "line 5 does not follow the line before it"),
    (change_a_word_and_its_hash, 4, "line 4 does not follow the line before it"),
]


@pytest.mark.parametrize(("tamper", "number", "reason"), TAMPERINGS, ids=lambda value: getattr(value, "__name__", None))
def test_the_first_line_that_does_not_agree_is_named(guards_away, run_command, tamper, number, reason):
    tamper()
    status, out, _ = run_command("verify_logbook")
    assert status == 1
    assert f"The log book does not agree: {reason}." in out
    status, out, _ = run_command("verify_logbook", "--json")
    assert status == 1
    answer = json.loads(out)
    assert answer["agrees"] is False
    assert answer["first_disagreement"] == {"number": number, "reason": reason}


def test_a_changed_line_is_shown_as_it_reads_now(guards_away, run_command):
    change_a_word()
    assert "Line 3 now reads: Line 3 was never said." in run_command("verify_logbook")[1]


def test_a_book_that_agrees_gives_count_and_head(book, run_command):
    status, out, _ = run_command("verify_logbook")
    assert (status, out) == (0, f"All 7 lines of the log book agree. Head: {book[-1].hash}.\n")
    status, out, _ = run_command("verify_logbook", "--json")
    assert status == 0
    assert json.loads(out) == {"agrees": True, "lines": 7, "head": book[-1].hash, "first_disagreement": None}


def test_an_empty_book_agrees(db, run_command):
    assert run_command("verify_logbook")[:2] == (0, "All 0 lines of the log book agree. Head: none yet.\n")


@pytest.mark.django_db(transaction=True)
def test_the_command_reads_the_book_outside_any_other_transaction(site_lead, run_command):
    with transaction.atomic():
        write_line(act="note", sentence="One.", by=site_lead)
    assert run_command("verify_logbook")[0] == 0
