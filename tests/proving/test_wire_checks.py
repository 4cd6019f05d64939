import math
from datetime import timedelta

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone

from restoration.logbook.models import Entry
from restoration.machine.events import facts_changed
from restoration.machine.records import Result
from restoration.proving.models import Joining, RingOut
from restoration.proving.models.wire_checks import JoiningKind
from restoration.proving.services import join_wire, lift_wire, ring_out
from restoration.proving.services.wire_checks import is_joined
from tests.factories import make_link

NOON = timezone.now() - timedelta(days=10)


@pytest.fixture
def link(db):
    return make_link()


@pytest.fixture
def joined(link, tester, second_tester):
    return join_wire(interconnect=link, done_by=tester, second_person=second_tester, entered_by=tester, at=NOON)


@pytest.fixture
def facts():
    told = []

    def listen(sender, chassis, interconnects, **kwargs):
        told.append(interconnects)

    facts_changed.connect(listen)
    yield told
    facts_changed.disconnect(listen)


def rung(link, tester, **figures):
    given = {"resistance_ohm": 0.4, "to_chassis_ohm": 22e6, "both_labels_read": True, **figures}
    return ring_out(interconnect=link, done_by=tester, entered_by=tester, **given)


def said(refusal):
    return " ".join(refusal.value.messages)


def test_joining_is_stored_told_and_written_in_the_log_book(link, tester, second_tester, never_signs_in, facts):
    record = join_wire(
        interconnect=link, done_by=never_signs_in, second_person=second_tester, entered_by=tester, at=NOON
    )
    assert (record.kind, record.done_at, record.entered_by) == (JoiningKind.JOINED, NOON, tester)
    line = Entry.objects.get()
    assert line.sentence == ("Wilf Sandle joined link B-05:7>C-04:2 at both ends; both joints viewed by Marek Hale.")
    assert (line.told_by, line.by_name, line.subject_kind, line.subject_code) == (
        "Wilf Sandle",
        "Tomasz Wilk",
        "link",
        link.code,
    )
    assert line.happened_at == NOON
    assert facts == [frozenset({link.pk})]


def test_joining_another_load_tells_of_every_link_on_the_source(link, tester, second_tester, facts):
    other = make_link("B-05:7", "D-02:4")
    make_link("B-05:8", "D-02:5")
    join_wire(interconnect=other, done_by=tester, second_person=second_tester, entered_by=tester)
    assert facts == [frozenset({link.pk, other.pk})]


def test_both_joints_are_viewed_by_a_second_person(link, tester):
    with pytest.raises(ValidationError) as refusal:
        join_wire(interconnect=link, done_by=tester, second_person=None, entered_by=tester)
    assert refusal.value.message_dict == {"second_person": ["Both joints are viewed by a second person; say who."]}
    with pytest.raises(ValidationError) as refusal:
        join_wire(interconnect=link, done_by=tester, second_person=tester, entered_by=tester)
    assert said(refusal) == "The second person must be another than the doer, and both are Tomasz Wilk."
    assert not Joining.objects.exists()
    assert not Entry.objects.exists()


def test_a_joined_wire_is_not_joined_again_but_made_again(joined, link, tester, second_tester):
    pair = {"done_by": tester, "second_person": second_tester, "entered_by": tester}
    with pytest.raises(ValidationError) as refusal:
        join_wire(interconnect=link, **pair)
    assert said(refusal) == (
        f"Link B-05:7>C-04:2 is joined already, since {NOON:%d %b %Y} by Tomasz Wilk. "
        "If a joint was made again, record it as made again."
    )
    again = join_wire(interconnect=link, kind=JoiningKind.REMADE, **pair)
    assert again.kind == "re-made"
    assert Entry.objects.last().sentence.startswith("Tomasz Wilk made the joints of link B-05:7>C-04:2 again;")


def test_what_was_never_joined_is_neither_made_again_nor_lifted(link, tester, second_tester):
    with pytest.raises(ValidationError) as refusal:
        join_wire(
            interconnect=link,
            done_by=tester,
            second_person=second_tester,
            entered_by=tester,
            kind=JoiningKind.REMADE,
        )
    assert said(refusal) == "Link B-05:7>C-04:2 was never joined, so no joint of it can be made again."
    with pytest.raises(ValidationError) as refusal:
        lift_wire(interconnect=link, done_by=tester, entered_by=tester, remarks="to find the short")
    assert said(refusal) == "Link B-05:7>C-04:2 was never joined, so there is nothing to lift."


def test_a_lifted_wire_carries_a_reason_and_may_be_joined_again(joined, link, tester, second_tester):
    with pytest.raises(ValidationError) as refusal:
        lift_wire(interconnect=link, done_by=tester, entered_by=tester, remarks="  ")
    assert refusal.value.message_dict == {
        "remarks": ["A lifted wire carries a reason, so that the next person knows it was meant."]
    }
    lifted = lift_wire(interconnect=link, done_by=tester, entered_by=tester, remarks="To find the short in D.")
    assert lifted.kind == JoiningKind.LIFTED
    assert Entry.objects.last().sentence == "Tomasz Wilk lifted link B-05:7>C-04:2: To find the short in D."
    with pytest.raises(ValidationError) as refusal:
        lift_wire(interconnect=link, done_by=tester, entered_by=tester, remarks="again")
    assert "is lifted already, since" in said(refusal)
    join_wire(interconnect=link, done_by=tester, second_person=second_tester, entered_by=tester)
    assert [record.kind for record in Joining.objects.of(link)] == ["joined", "lifted", "joined"]


def test_a_mistaken_lifting_is_corrected_to_joined(joined, link, tester, second_tester):
    pair = {"done_by": tester, "second_person": second_tester, "entered_by": tester}
    lifted = lift_wire(interconnect=link, remarks="To find the short.", at=NOON + timedelta(days=2), **pair)
    why = {"replaces": lifted, "replaces_why": "It was the next wire.", "at": lifted.done_at}
    join_wire(interconnect=link, **why, **pair)
    assert is_joined(link, timezone.now())
    with pytest.raises(ValidationError) as refusal:
        join_wire(interconnect=link, **pair)
    assert "is joined already, since" in said(refusal), "another joining is still refused"


def test_a_mistaken_joining_is_corrected_to_open(joined, link, tester, second_tester):
    pair = {"done_by": tester, "second_person": second_tester, "entered_by": tester}
    why = {"replaces": joined, "replaces_why": "It was link 215.", "at": joined.done_at}
    lift_wire(interconnect=link, remarks="It was never joined.", **why, **pair)
    assert not is_joined(link, timezone.now())
    with pytest.raises(ValidationError) as refusal:
        lift_wire(interconnect=link, remarks="again", **pair)
    assert "is lifted already, since" in said(refusal)
    join_wire(interconnect=link, **pair)
    assert is_joined(link, timezone.now())


def test_a_joint_of_what_was_never_joined_is_not_made_again_by_a_correction(joined, link, tester, second_tester):
    pair = {"done_by": tester, "second_person": second_tester, "entered_by": tester, "kind": JoiningKind.REMADE}
    with pytest.raises(ValidationError) as refusal:
        join_wire(interconnect=link, replaces=joined, replaces_why="made again", **pair)
    assert "was never joined, so no joint of it can be made again." in said(refusal)


def test_lifting_is_not_posted_as_joining(joined, link, tester, second_tester):
    with pytest.raises(ValidationError) as refusal:
        join_wire(
            interconnect=link,
            done_by=tester,
            second_person=second_tester,
            entered_by=tester,
            kind=JoiningKind.LIFTED,
        )
    assert said(refusal) == "Lifting a wire is not joining it; record it as lifted, with its reason."


def test_an_act_to_come_is_refused(link, tester, second_tester):
    with pytest.raises(ValidationError) as refusal:
        join_wire(
            interconnect=link,
            done_by=tester,
            second_person=second_tester,
            entered_by=tester,
            at=timezone.now() + timedelta(hours=1),
        )
    assert "has not come yet" in said(refusal)


@pytest.mark.parametrize(
    ("end_to_end", "to_chassis", "result"),
    [
        (0.4, 22e6, Result.PASSED),
        (5.0, 100.0, Result.PASSED),
        (5.01, 22e6, Result.FAILED),
        (math.inf, 22e6, Result.FAILED),
        (0.4, 99.9, Result.FAILED),
        (0.4, math.inf, Result.PASSED),
        (0.4, None, Result.CANNOT_TELL),
        (7.0, None, Result.FAILED),
    ],
)
def test_the_result_of_a_ring_out_is_worked_out(joined, link, tester, end_to_end, to_chassis, result):
    record = rung(link, tester, resistance_ohm=end_to_end, to_chassis_ohm=to_chassis)
    record.refresh_from_db()
    assert record.result == result
    assert record.resistance_ohm == end_to_end


def test_a_ring_out_is_written_in_the_log_book(joined, link, tester, facts):
    record = rung(link, tester, to_chassis_ohm=math.inf)
    line = Entry.objects.last()
    assert line.sentence == (
        "Tomasz Wilk rang out link B-05:7>C-04:2: 0.4 Ω end to end, open to the chassis, labels read at both ends. "
        "Result: passed."
    )
    assert line.details == {"record": record.pk, "result": "passed", "end_to_end": "0.4 Ω"}
    assert facts == [frozenset({link.pk})]


def test_both_labels_must_be_read(joined, link, tester):
    with pytest.raises(ValidationError) as refusal:
        rung(link, tester, both_labels_read=False)
    assert refusal.value.message_dict["both_labels_read"] == [
        "A wire is rung out with the labels read at both ends; otherwise it may be another wire that rings."
    ]


@pytest.mark.parametrize(
    ("figures", "sentence"),
    [
        ({"resistance_ohm": None}, "Give the resistance from end to end; it is what a ring-out measures."),
        ({"resistance_ohm": -1.0}, "A resistance of -1.0 Ω cannot be; give zero ohms or more."),
        ({"to_chassis_ohm": math.nan}, "A resistance of nan Ω cannot be; give zero ohms or more."),
    ],
)
def test_nonsense_is_not_stored(joined, link, tester, figures, sentence):
    with pytest.raises(ValidationError) as refusal:
        rung(link, tester, **figures)
    assert said(refusal) == sentence
    assert not RingOut.objects.exists()


def test_a_wire_is_joined_before_it_is_rung_out(link, tester, second_tester):
    sentence = "Link B-05:7>C-04:2 is not recorded as joined, so it cannot be rung out. Join it first."
    with pytest.raises(ValidationError) as refusal:
        rung(link, tester)
    assert said(refusal) == sentence
    join_wire(interconnect=link, done_by=tester, second_person=second_tester, entered_by=tester)
    lift_wire(interconnect=link, done_by=tester, entered_by=tester, remarks="to find the short")
    with pytest.raises(ValidationError) as refusal:
        rung(link, tester)
    assert said(refusal) == sentence


def test_a_late_entry_is_judged_by_how_the_wire_stood_then(joined, link, tester):
    lift_wire(interconnect=link, done_by=tester, entered_by=tester, remarks="moved", at=NOON + timedelta(days=5))
    record = rung(link, tester, at=NOON + timedelta(days=1))
    assert record.done_at == NOON + timedelta(days=1)


def test_a_correction_takes_the_place_of_one_record_and_says_why(joined, link, tester):
    wrong = rung(link, tester, resistance_ohm=40.0)
    right = rung(link, tester, resistance_ohm=0.4, replaces=wrong, replaces_why="A point was left out.")
    assert list(RingOut.objects.of(link).in_force()) == [right]
    assert Entry.objects.last().sentence.endswith(f"This takes the place of {wrong}, because: A point was left out.")
    with pytest.raises(ValidationError) as refusal:
        rung(link, tester, replaces=wrong, replaces_why="once more")
    again = f"Ring-out {wrong.pk} of {link} was corrected already, by record {right.pk}; correct that one."
    assert said(refusal) == again
    with pytest.raises(ValidationError) as refusal:
        rung(link, tester, replaces=right)
    assert said(refusal) == "A correction says why the earlier record was wrong."


def test_a_record_of_another_link_is_not_corrected_here(joined, link, tester, second_tester):
    other = make_link("B-05:8", "D-02:4")
    theirs = join_wire(interconnect=other, done_by=tester, second_person=second_tester, entered_by=tester)
    with pytest.raises(ValidationError) as refusal:
        lift_wire(
            interconnect=link,
            done_by=tester,
            entered_by=tester,
            remarks="mistaken",
            replaces=theirs,
            replaces_why="mistaken",
        )
    assert "is a record of another link, and cannot be corrected by one of this." in said(refusal)


def test_a_wrong_joining_is_corrected_by_a_right_one(joined, link, tester, second_tester):
    right = join_wire(
        interconnect=link,
        done_by=tester,
        second_person=second_tester,
        entered_by=tester,
        replaces=joined,
        replaces_why="The day was wrong.",
        at=NOON + timedelta(days=1),
    )
    assert list(Joining.objects.of(link).in_force()) == [right]
