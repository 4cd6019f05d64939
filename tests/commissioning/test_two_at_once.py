"""Two people at one chassis in the same moment, in real transactions."""

import pytest
from django.core.exceptions import ValidationError

from restoration.commissioning.services import fit_chassis
from restoration.machine.models import Fitting
from tests.commissioning.records import make_fit
from tests.factories import make_chassis, make_design, make_slot


@pytest.mark.django_db(transaction=True)
def test_one_chassis_is_never_in_two_slots(tester, second_tester, in_threads):
    design = make_design("KS-207")
    slots = [make_slot(code, design=design) for code in ("C-07", "C-08")]
    chassis = make_chassis("SR-14", design=design)
    make_fit(chassis)

    def fitting_in(slot):
        return lambda: fit_chassis(
            chassis=chassis,
            slot=slot,
            slot_label_read=slot.code,
            chassis_label_read="SR-14",
            fitted_by=tester,
            second_person=second_tester,
            entered_by=tester,
        )

    answers = in_threads(*(fitting_in(slot) for slot in slots))
    (refused,) = (answer for answer in answers if isinstance(answer, Exception))
    assert isinstance(refused, ValidationError)
    assert refused.messages[0].startswith("Chassis SR-14 is in slot C-0")
    assert in_threads(lambda: Fitting.objects.standing().count()) == [1]
