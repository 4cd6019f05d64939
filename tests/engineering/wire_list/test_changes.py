"""What changes cell by cell, and how much of it is told."""

from restoration.engineering.wire_list.changes import change_sentences, changed_cells, emptied_sentence
from restoration.engineering.wire_list.known import LinkFacts
from restoration.engineering.wire_list.links import LinkChange
from restoration.engineering.wire_list.outcome import ImportPlan


def changes(count, columns=("wire",), **new):
    olds = [LinkFacts(str(number), "", "A", "1", "B", "1", wire="7/0.2", loom="12") for number in range(count)]
    return [LinkChange(old, old._replace(**(new or {"wire": "16/0.2"})), columns) for old in olds]


def test_fifty_links_are_told_and_the_rest_counted():
    told = change_sentences(changes(52))
    assert len(told) == 51
    assert told[0] == "Link 0: wire: 7/0.2 → 16/0.2."
    assert told[-1] == "And 2 more."
    assert len(change_sentences(changes(50))) == 50


def test_a_program_gets_five_hundred_cells():
    both = changes(400, ("wire", "loom"), wire="", loom="13")
    assert len(list(changed_cells(both))) == 800
    assert len(ImportPlan(to_change=both).as_json()["changes"]) == 500


def test_only_what_was_known_and_becomes_blank_is_emptied():
    assert emptied_sentence(changes(2)) == []
    assert emptied_sentence(changes(3, ("wire", "loom"), wire="", loom="13"))[0].startswith(
        "3 known values are emptied"
    )
    old = LinkFacts("214", "", "A", "1", "B", "1", critical=True)
    assert emptied_sentence([LinkChange(old, old._replace(critical=False), ("critical",))]) == []
