"""A modification note: all of it or nothing."""

import io
from datetime import timedelta

import pytest
from django.core.exceptions import ValidationError
from django.core.files.storage import default_storage
from django.utils import timezone
from PIL import Image

from restoration.commissioning.models import Change, Doubt
from restoration.conditioning.models import ModificationNote, NoteClass, NotePart, Prediction
from restoration.conditioning.services import PartUsed, keep_prediction, record_note
from restoration.engineering.in_place import Arrangement, Interval
from restoration.logbook.models import Entry
from restoration.workshop.models import StoresLine
from tests.conditioning.links import check, made_link

SERIES = Arrangement(series_ohm=330.0)
FIGURES = {("load", "amplitude"): Interval(17.0, 16.0, 18.0)}


def photo():
    file = io.BytesIO()
    Image.new("RGB", (40, 40), "white").save(file, "JPEG")
    return file


def everything():
    models = (Change, Doubt, ModificationNote, NotePart, Entry)
    return [model.objects.count() for model in models], StoresLine.objects.values_list("quantity", flat=True).first()


def kept_files():
    return [name for folder in default_storage.listdir("")[0] for name in _under(folder)]


def _under(folder):
    folders, files = default_storage.listdir(folder)
    return [*files, *(name for each in folders for name in _under(f"{folder}/{each}"))]


def refused(write, **given):
    before = everything()
    with pytest.raises(ValidationError) as wrong:
        write(**given)
    assert everything() == before
    assert ModificationNote.objects.count() == before[0][2]
    return wrong.value.messages


def test_a_note_stores_change_parts_stores_and_two_lines_in_the_log_book(link, write_note, drawer, tester):
    note = write_note(line=drawer, original_kept="drawer 9", marked_how="red sleeve")
    change = note.change
    assert (change.kind, change.interconnect) == ("attenuator or terminator fitted or changed", link)
    assert change.what == f"damping resistor of 330\xa0Ω in series at the source fitted on link {link.code}"
    assert note.arrangement == {"series_ohm": 330.0}
    part = note.parts.get()
    assert (part.role, part.kind, part.value, part.stores_line) == ("series_ohm", "resistor", 330.0, drawer)
    drawer.refresh_from_db()
    assert drawer.quantity == 2
    said = list(Entry.objects.order_by("number").values_list("sentence", flat=True))[-3:]
    assert said[0].startswith(f"{tester} recorded change {change.pk}: damping resistor")
    assert said[1] == (
        f"{tester} took 1 × 330 Ω resistor, 5 %, 0.5 W from the stores: modification note {note.pk} on link "
        f"{link.code}."
    )
    assert said[2] == (
        f"{tester} wrote modification note {note.pk} for link {link.code}: 330\xa0Ω in series at the source; at "
        "terminal 7 of B-05. Undone so: Take it off and solder the wire on again. The original is kept: drawer 9."
    )


def test_every_load_on_the_source_stands_in_doubt_afterwards(link, write_note, tester, second_tester):
    other = made_link("B-05:7", "D-02:4")
    for each in (link, other):
        check(each, tester, second_tester, days=1)
    note = write_note()
    doubted = set(note.change.doubts.filter(is_asked=True).values_list("interconnect__code", flat=True))
    assert {link.code, other.code} <= doubted


def test_a_wire_led_another_way_is_joined_again_and_keeps_its_parts(link, write_note):
    write_note(at=timezone.now() - timedelta(days=1))
    note = write_note(kind=NoteClass.REROUTED, parts=[], place="behind rack C")
    assert note.change.kind == "wire re-made or re-routed"
    assert note.change.joining is not None
    assert note.arrangement == {"series_ohm": 330.0}


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ({"place": " "}, "Say where the parts are, such as at terminal 2 of slot C-04."),
        ({"undone_how": ""}, "Say how it is undone; if it cannot be undone, say that."),
        ({"kind": NoteClass.VALUE}, "A part took the place of another: say where the original is kept, labelled."),
        ({"second_person": None}, "A part put on at the rack is seen by a second person; say who."),
        ({"place": "x" * 201}, "Say it in 200 letters at most; there is room for more under why."),
        ({"why": ""}, "A change says why it was made, in a few words."),
        ({"parts": []}, "The link is to have 330\xa0Ω in series at the source, and the note names no such part."),
        (
            {"arrangement": Arrangement(), "parts": []},
            "That is what link B-05:7>C-04:2 has already: nothing fitted. A note says what is different now.",
        ),
        (
            {"kind": NoteClass.REROUTED},
            "A wire led another way and parts put on it are two notes: this one would also turn nothing fitted on link "
            "B-05:7>C-04:2 into 330\xa0Ω in series at the source.",
        ),
        (
            {"parts": [PartUsed("series_ohm", "resistor", 330.0), PartUsed("shunt_ohm", "resistor", 1000.0)]},
            "The note names 1.00\xa0kΩ from the load terminal to earth, which is not among the parts that the link is "
            "to have.",
        ),
        (
            {"seen": 77},
            "The note that this one starts from is no longer in force on link B-05:7>C-04:2. Begin again from its "
            "page.",
        ),
    ],
)  # fmt: skip
def test_what_a_note_cannot_say_is_refused_in_a_sentence_and_nothing_is_stored(write_note, given, sentence):
    assert sentence in refused(write_note, **given)


def test_the_doer_is_no_second_person(write_note, tester):
    assert refused(write_note, second_person=tester) == [
        f"The second person must be another than the doer, and both are {tester}."
    ]


def test_stores_that_hold_too_few_refuse_the_whole_note_and_its_photograph(write_note, drawer):
    StoresLine.objects.update(quantity=0)
    said = refused(write_note, line=drawer, photo=photo())
    assert said == [
        "1 × 330 Ω resistor, 5 %, 0.5 W was asked for, and the stores hold none; take what is there, or choose "
        "another part."
    ]
    assert kept_files() == []


def test_two_alike_parts_of_one_line_are_taken_together(link, write_note, drawer):
    arrangement = Arrangement(series_ohm=330.0, shunt_ohm=330.0)
    StoresLine.objects.update(quantity=1)
    assert "2 × 330 Ω resistor" in refused(write_note, arrangement=arrangement, line=drawer)[0]
    StoresLine.objects.update(quantity=2)
    write_note(arrangement=arrangement, line=StoresLine.objects.get())
    assert StoresLine.objects.get().quantity == 0


def test_a_photograph_is_kept_with_the_change(write_note):
    note = write_note(photo=photo())
    assert note.change.image
    assert len(kept_files()) == 2


def test_who_writes_second_is_told_of_the_first(link, write_note, tester):
    first = write_note(seen=None, at=timezone.now() - timedelta(minutes=5))
    said = refused(write_note, seen=None, arrangement=Arrangement(series_ohm=470.0))
    assert said[0].startswith(f"Meanwhile {tester} wrote modification note {first.pk} for link {link.code}, on ")
    assert said[0].endswith("Read it before you write another; nothing was stored.")
    assert write_note(seen=first.pk, arrangement=Arrangement(series_ohm=470.0)).pk > first.pk


def test_taking_off_is_a_note_too_and_parts_go_back_to_the_stores(link, write_note, drawer):
    write_note(line=drawer, at=timezone.now() - timedelta(hours=1))
    off = write_note(arrangement=Arrangement(), put_back=[StoresLine.objects.get()])
    assert off.change.what == f"damping resistor taken off link {link.code}"
    assert (off.arrangement, off.parts.count()) == ({}, 0)
    assert StoresLine.objects.get().quantity == 3


def test_a_note_whose_change_is_taken_back_is_not_in_force(link, write_note, tester):
    from restoration.commissioning.services.changes import take_back

    note = write_note()
    take_back(change=note.change, why="It was another link.", done_by=tester, entered_by=tester)
    assert not ModificationNote.objects.in_force().of(link).exists()
    assert list(ModificationNote.objects.of(link)) == [note]


def test_a_prediction_goes_with_the_note_once_and_for_its_own_parts_alone(link, write_note, tester):
    prediction = keep_prediction(interconnect=link, arrangement=SERIES, figures=FIGURES, by=tester)
    other = keep_prediction(interconnect=made_link("B-06:1", "C-07:1"), arrangement=SERIES, figures=FIGURES, by=tester)
    bare = keep_prediction(interconnect=link, arrangement=Arrangement(), figures=FIGURES, by=tester)
    assert refused(write_note, prediction=other) == [f"Prediction {other.pk} is of another link than {link.code}."]
    assert refused(write_note, prediction=bare) == [
        f"Prediction {bare.pk} was made for other parts than those that go on link {link.code}."
    ]
    note = write_note(prediction=prediction)
    assert (note.prediction, prediction.note) == (prediction, note)


def test_a_kept_prediction_has_its_figures_and_a_line_in_the_log_book(link, tester):
    prediction = keep_prediction(
        interconnect=link, arrangement=SERIES, figures=FIGURES, by=tester, assumed=["So be it."]
    )
    row = prediction.figures.get()
    assert (row.end, row.quantity, row.value, row.low, row.high) == ("load", "amplitude", 17.0, 16.0, 18.0)
    assert (prediction.arrangement, prediction.assumed) == ({"series_ohm": 330.0}, ["So be it."])
    assert Entry.objects.last().sentence == (
        f"{tester} kept prediction {prediction.pk} for link {link.code} with 330\xa0Ω in series at the source: 16 V to "
        "18 V at the load."
    )


@pytest.mark.parametrize(
    ("figures", "sentence"),
    [
        ({}, "A prediction needs at least one figure, and none could be reckoned for this link."),
        (
            {("load", "overshoot"): Interval(float("nan"), 0.0, 1.0)},
            "The overshoot predicted at the load end is no finite figure, so it is not kept.",
        ),
    ],
)
def test_a_prediction_of_nothing_is_not_kept(link, tester, figures, sentence):
    with pytest.raises(ValidationError) as wrong:
        keep_prediction(interconnect=link, arrangement=SERIES, figures=figures, by=tester)
    assert wrong.value.messages == [sentence]
    assert not Prediction.objects.exists()


def test_a_note_is_written_by_name_only():
    with pytest.raises(TypeError):
        record_note("link")
