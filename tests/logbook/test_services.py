from datetime import UTC, datetime, timedelta
from functools import partial

import pytest
from django.db import transaction
from django.utils import timezone

from restoration.logbook.chain import START
from restoration.logbook.models import Entry
from restoration.logbook.services import check_whole_book, content, head, write_line

WRITERS, LINES_EACH = 8, 10


def write(sentence, by=None, **more):
    with transaction.atomic():
        return write_line(act="note", sentence=sentence, by=by, **more)


def test_a_line_says_who_what_about_and_when(site_lead, never_signs_in):
    happened = timezone.now() - timedelta(days=2)
    entry = write(
        "Wilf Sandle lifted link C-04:2.",
        by=site_lead,
        told_by=never_signs_in,
        happened_at=happened,
        subject_kind="link",
        subject_code="C-04:2",
        details={"why": "noise"},
    )
    kept = Entry.objects.get(number=1)
    assert (kept.by, kept.by_name, kept.told_by) == (site_lead, "Ama Boateng", "Wilf Sandle")
    assert kept.happened_at == happened
    assert kept.written_at > happened
    assert kept.details == {"why": "noise"}
    assert list(Entry.objects.about("link", "C-04:2")) == [entry]
    assert str(kept) == "1. Wilf Sandle lifted link C-04:2."


def test_one_who_enters_their_own_act_is_named_once(builder):
    assert write("Pilar Ortuno took chassis SR-14 in hand.", by=builder, told_by=builder).told_by == ""


def test_a_command_stands_under_a_name_too(db):
    assert write("Somebody filled the book.").by_name == "the command line"


def test_each_line_is_bound_to_the_one_before(site_lead):
    first, second = write("One.", by=site_lead), write("Two.", by=site_lead)
    assert (first.number, first.previous_hash) == (1, START)
    assert (second.number, second.previous_hash) == (2, first.hash)
    assert head() == second
    assert list(Entry.objects.newest_first()) == [second, first]


def test_a_name_changed_later_leaves_the_line_as_it_was(builder):
    write("Pilar Ortuno built it.", by=builder)
    builder.display_name = "Pilar O."
    builder.save()
    assert Entry.objects.get().by_name == "Pilar Ortuno"
    assert check_whole_book().disagreement is None


@pytest.mark.parametrize(
    "sentence", ["Ω, µ, “quotes” and 漢字.", "two\nlines", "  spaces  ", 'a "b" \\ c', "\u2028 and é and e\u0301"]
)
def test_any_alphabet_agrees_when_read_back(db, sentence):
    write(sentence, details={"code": sentence, "nested": [1, 2.5, None, {"x": True}]}, subject_code=sentence)
    assert check_whole_book().disagreement is None
    assert Entry.objects.get().sentence == sentence


def test_the_hash_is_the_same_in_every_time_zone(db):
    entry = write("Summer.", happened_at=datetime(2026, 7, 1, 12, 30, 0, 123456, tzinfo=UTC))
    with timezone.override("Asia/Tokyo"):
        assert content(Entry.objects.get())["happened_at"] == "2026-07-01T12:30:00.123456+00:00"
        assert check_whole_book().disagreement is None
    assert content(entry) == content(Entry.objects.get())


def test_an_act_undone_leaves_no_line_and_no_gap(site_lead):
    write("Before.", by=site_lead)
    with pytest.raises(ZeroDivisionError), transaction.atomic():
        write_line(act="note", sentence="Never happened.", by=site_lead)
        raise ZeroDivisionError
    after = write("After.", by=site_lead)
    assert after.number == 2
    assert [entry.sentence for entry in Entry.objects.all()] == ["Before.", "After."]
    assert check_whole_book().disagreement is None


def test_an_empty_book_agrees(db):
    book = check_whole_book()
    assert (book.lines, book.head, book.disagreement) == (0, "", None)


def test_eight_writers_at_once_leave_no_gap_and_an_unbroken_chain(site_lead, in_threads):
    def writer(name):
        for count in range(LINES_EACH):
            write(f"Writer {name} wrote line {count}.", by=site_lead)

    assert in_threads(*[partial(writer, name) for name in range(WRITERS)]) == [None] * WRITERS
    book, lines = in_threads(check_whole_book, lambda: list(Entry.objects.values_list("number", "sentence")))
    assert (book.lines, book.disagreement) == (WRITERS * LINES_EACH, None)
    assert [number for number, _ in lines] == list(range(1, WRITERS * LINES_EACH + 1))
    for name in range(WRITERS):
        mine = [sentence for _, sentence in lines if sentence.startswith(f"Writer {name} ")]
        assert mine == [f"Writer {name} wrote line {count}." for count in range(LINES_EACH)]
