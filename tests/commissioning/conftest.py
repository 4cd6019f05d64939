"""A slot, and a chassis that is fit to go into it."""

import pytest

from restoration.machine.models import Chassis, Slot
from tests.commissioning.records import make_fit
from tests.factories import make_chassis, make_design, make_slot


@pytest.fixture
def slot(db: None) -> Slot:
    """Empty, of a drawing."""
    return make_slot("C-07", design=make_design("KS-207"))


@pytest.fixture
def chassis(slot: Slot) -> Chassis:
    """Built to the drawing of the slot, with every record it needs."""
    unit = make_chassis("SR-14", design=slot.design)
    make_fit(unit)
    return unit
