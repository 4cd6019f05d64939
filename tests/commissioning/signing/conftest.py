"""A chassis in its slot, its rack, a group around it, and the pair that signs."""

import pytest

from restoration.commissioning.models import Group
from tests.commissioning.records import make_fit, may, pair
from tests.factories import make_chassis, make_design, make_fitting, make_link, make_rack, make_slot


@pytest.fixture
def rack(db):
    return make_rack("C")


@pytest.fixture
def fitted(rack):
    """Chassis SR-14, fitted in slot C-07 on 5 May 2026."""
    slot = make_slot("C-07", rack=rack, design=make_design("KS-207"))
    unit = make_chassis("SR-14", design=slot.design)
    make_fit(unit)
    make_fitting(unit, slot, fitted_by=pair()[0], at=may(5))
    return unit


@pytest.fixture
def group(fitted):
    """The group SUM: slot C-07, one link within it, and a pass test."""
    made = Group.objects.create(code="SUM", name="Summing register", pass_test="Add 3 and 4; read 7, a hundred times.")
    made.slots.add(*fitted.fittings.values_list("slot", flat=True))
    make_link("C-07:1", "C-07:2", code="31")
    return made


@pytest.fixture
def two(power_person, tester):
    """Who signs for power: the power person and a tester."""
    return {"done_by": power_person, "second_person": tester, "entered_by": power_person}
