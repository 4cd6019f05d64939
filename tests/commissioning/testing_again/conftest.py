"""Two racks, a slot in each, and wires between them that were proved before a chassis was swapped."""

from types import SimpleNamespace

import pytest

from restoration.commissioning.services import recompute_all
from restoration.machine.models import Fitting
from tests.commissioning.records import may, pair, prove
from tests.factories import make_chassis, make_design, make_fitting, make_link, make_rack, make_signal, make_slot


@pytest.fixture
def swapped(db):
    """Slot C-04 had its chassis swapped on 3 May; links 214 and 215 at it were proved on 2 May, 300 is elsewhere."""
    make_rack("B", position=1)
    make_rack("C", position=2)
    design = make_design()
    c_04, b_05, b_06 = (make_slot(code, design=design) for code in ("C-04", "B-05", "B-06"))
    signal = make_signal(amplitude=(15, None, 20), pulse_duration=(2e-6, None, 3e-6))
    links = {
        "214": make_link("B-05:7", "C-04:2", code="214", signal=signal, is_critical=True),
        "215": make_link("C-04:9", "B-05:3", code="215", signal=signal),
        "300": make_link("B-05:8", "B-06:1", code="300", signal=signal),
    }
    old, new = make_chassis("SR-11", design=design), make_chassis("SR-12", design=design)
    make_fitting(make_chassis("SR-01", design=design), b_05, at=may(1))
    make_fitting(make_chassis("SR-02", design=design), b_06, at=may(1))
    make_fitting(old, c_04, at=may(1), removed_at=may(3), removed_by=pair()[0], removed_why="V3 dark")
    checks = {code: prove(link, 2) for code, link in links.items()}
    make_fitting(new, c_04, at=may(3))
    recompute_all()
    return SimpleNamespace(slot=c_04, links=links, old=old, new=new, checks=checks, empty=empty)


def empty(slot):
    """Take out what is in a slot, on 4 May."""
    Fitting.objects.filter(slot=slot, removed_at=None).update(
        removed_at=may(4), removed_by=pair()[0], removed_why="wanted elsewhere"
    )
    recompute_all()
