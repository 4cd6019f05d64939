"""What leaves a signal check nothing to prove: a wire not joined, an empty slot, a change not measured after."""

from datetime import timedelta

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse
from django.utils import timezone

from restoration.machine.records import Result
from restoration.proving.check_page import outcome_again
from restoration.proving.models import SignalCheck
from restoration.proving.services import EndFigures, join_wire, lift_wire
from tests.factories import make_fitted_ends, make_fitting, make_link, make_ready_link, make_signal
from tests.proving.scope import capture
from tests.proving.test_signal_checks import GOOD, LIMITS
from tests.proving.visits import recorded

NOT_JOINED = "Link B-05:7>C-04:2 is not joined, so no signal can be proved on it. Record the joint first."
CHANGED = "A part was changed and the load end was not measured after it."


@pytest.fixture
def pair(tester, second_tester):
    return tester, second_tester


@pytest.fixture
def heading(tester, second_tester):
    return {"done_by": tester, "second_person": second_tester, "entered_by": tester}


@pytest.fixture
def ready(db):
    return make_ready_link(signal=make_signal(**LIMITS))


def refused(*given, **fields):
    with pytest.raises(ValidationError) as refusal:
        recorded(*given, **fields)
    assert not SignalCheck.objects.exists()
    return " ".join(refusal.value.messages)


def ago(days):
    return timezone.now() - timedelta(days=days)


def test_a_wire_that_was_never_joined_proves_nothing(db, pair):
    assert refused(make_fitted_ends(make_link()), *pair) == NOT_JOINED


def test_a_lifted_wire_proves_nothing_until_it_is_joined_again(ready, pair, heading):
    lift_wire(interconnect=ready, remarks="To find the short.", at=ago(9), **heading)
    assert refused(ready, *pair) == NOT_JOINED
    assert recorded(ready, *pair, at=ago(10)).result == Result.PASSED, "then it was joined"
    join_wire(interconnect=ready, at=ago(5), **heading)
    assert recorded(ready, *pair).result == Result.PASSED


def test_a_late_entry_is_refused_for_a_day_before_the_joint(db, pair, heading):
    link = make_fitted_ends(make_link())
    join_wire(interconnect=link, at=ago(5), **heading)
    assert refused(link, *pair, at=ago(6)) == NOT_JOINED


@pytest.mark.parametrize("end", ["source", "load"])
@pytest.mark.parametrize("amplitude", [17.2, 31.0])
def test_an_empty_slot_at_either_end_cannot_tell(ready, pair, tester, end, amplitude):
    slot = getattr(ready, end).slot
    slot.fittings.update(removed_at=ago(5), removed_by=tester)
    check = recorded(ready, *pair, EndFigures("load", "found", GOOD | {"amplitude": amplitude}))
    assert check.result == Result.CANNOT_TELL
    sentence = f"No chassis is fitted in slot {slot.code}, so nothing is proved yet."
    assert outcome_again(check).reasons[0] == sentence
    assert recorded(ready, *pair, at=ago(6)).result == Result.PASSED, "then it stood there"
    make_fitting(slot.fittings.get().chassis, slot)
    assert outcome_again(check).reasons[0] == sentence, "what is fitted later proves nothing backwards"
    assert recorded(ready, *pair).result == Result.PASSED


def test_the_page_says_beforehand_what_cannot_be_proved(db, as_person, tester):
    link = make_link()
    address = reverse("proving:signal-check-add", args=[link.code])
    page = as_person(tester).get(address).content.decode()
    assert "This link is not joined by the book, so no signal can be proved on it." in page
    for slot in ("B-05", "C-04"):
        assert f"No chassis is fitted in slot {slot}, so nothing is proved yet." in page
    assert "A check recorded now comes to “cannot tell”." in page
    page = as_person(tester).get(reverse("proving:signal-check-add", args=[make_ready_link("D-01:1", "D-02:1").code]))
    assert "proved" not in page.content.decode().partition("<form")[0].partition("<main")[2]


def test_a_changed_part_asks_for_the_load_end_after_it(ready, pair):
    check = recorded(ready, *pair, parts_changed="330 Ω in series at B-05:7")
    assert (check.result, outcome_again(check).reasons) == (Result.CANNOT_TELL, (CHANGED,))
    left = [EndFigures("load", "found", GOOD), EndFigures("load", "left", GOOD)]
    assert recorded(ready, *pair, *left, parts_changed="330 Ω in series at B-05:7").result == Result.PASSED


@pytest.mark.parametrize(
    "source",
    [EndFigures("source", "left", {"amplitude": 21.0}), EndFigures("source", "left", capture=capture(), name="a.csv")],
)
def test_a_source_end_as_left_tells_that_something_was_changed(ready, pair, source):
    check = recorded(ready, *pair, EndFigures("load", "found", GOOD), source)
    assert (check.result, outcome_again(check).reasons) == (Result.CANNOT_TELL, (CHANGED,))


def test_all_loads_joined_and_one_not_joined_do_not_go_together(ready, pair):
    assert refused(ready, *pair, loads_missing=" D-02:4 ") == (
        "All loads are said to be joined, and “D-02:4” is named as not joined; say which it is."
    )


def test_an_amplitude_below_zero_is_refused(ready, pair):
    assert refused(ready, *pair, EndFigures("load", "found", {"amplitude": -17.0})) == (
        "−17 V was given, and an amplitude is a size: give it without the sign. "
        "Which way the pulse goes is told by its levels."
    )
