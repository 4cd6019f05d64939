"""Two people enter the same sheet in the same moment, in real transactions."""

import uuid

import pytest
from django.urls import reverse

from restoration.commissioning.models import AgainSheet
from restoration.commissioning.testing_again import Question, walk_for
from restoration.commissioning.testing_again.sheets import make_sheet
from restoration.proving.models import RingOut
from tests.reading import words


@pytest.mark.django_db(transaction=True)
def test_a_sheet_is_entered_by_one_of_two(in_threads, swapped, tester, second_tester, as_person):
    sheet = make_sheet(question=Question(), walk=walk_for(Question()), by=tester)
    rows = [row for row in sheet.rows if not row["apart"]]
    row = f"row-{1 + next(at for at, row in enumerate(rows) if row['gate'] == 'rung out')}"
    figures = {"both_labels_read": "on", "resistance_ohm": "0.4", "to_chassis_ohm": "22M"}
    people = {"done_by": tester.pk, "second_person": second_tester.pk, "done_at": "", "probe": "10"}
    address = reverse("commissioning:again-enter", args=[sheet.pk])
    before = RingOut.objects.count()

    def entering(person):
        client, token = as_person(person), str(uuid.uuid4())
        given = {f"{row}-{name}": value for name, value in figures.items()}
        return lambda: client.post(address, {"form_token": token, **people, **given})

    answers = in_threads(entering(tester), entering(second_tester))
    assert sorted(answer.status_code for answer in answers) == [302, 422]
    (refused,) = (answer for answer in answers if answer.status_code == 422)
    told = ("somebody else entered a result at this moment.", "No row is filled in yet")  # before it waited, or after
    assert any(sentence in words(refused) for sentence in told)
    assert (RingOut.objects.count(), AgainSheet.objects.count()) == (before + 1, 1)
