"""A small piece of the tide computer: one source with three loads, and a signal with limits."""

from types import SimpleNamespace

import pytest

from restoration.people.models import Person
from tests.factories import make_bench_point, make_chassis, make_design, make_fitting, make_link, make_signal, make_slot


@pytest.fixture
def piece(db: None, builder: Person) -> SimpleNamespace:
    """Pulse former B-05 drives C-04, C-06 and D-02 with the digit pulse; C-04 holds CG-03."""
    design = make_design("KS-204", title="Constituent generator")
    make_bench_point(design)
    signal = make_signal("digit pulse", amplitude=(15, None, 20), rise_time=(None, None, 3.5e-7))
    slot = make_slot("C-04", design=design, function="Constituent generator S2", position=4)
    links = [
        make_link("B-05:7", load, code=code, signal=signal, colour="green", loom="12", length_m=4.6)
        for load, code in (("C-04:2", "214"), ("C-06:2", "215"), ("D-02:4", "216"))
    ]
    chassis = make_chassis("CG-03", design=design, builder=builder, remarks="Spare valve in the lid.")
    make_fitting(chassis, slot)
    return SimpleNamespace(design=design, signal=signal, slot=slot, links=links, link=links[0], chassis=chassis)
