"""Whatever signs a code holds, its page has an address."""

from typing import Any

import pytest

from restoration.machine.models import Signal
from restoration.people.models import Person
from tests.factories import make_chassis, make_design, make_link, make_rack, make_slot

CODES = [
    "A+B", "+120 V", "-12 V", "#3", "~CLK", "TT/7", "/", "//", "=Q1", "@HOME", "'quoted'", 'say "go"', "two  spaces",
    "Ж-7", "東/1", "e\u0301", "a,b", "a;b", "?q=1", "100%", "%2f", "~2f", "~7e~", ".", "..", "\\", "<b>", "&amp;", 
    "a:b", "add", "of",
]  # fmt: skip


@pytest.mark.parametrize("code", CODES)
def test_every_page_of_an_awkward_code_opens(code: str, site_lead: Person, as_person: Any, db: None) -> None:
    client = as_person(site_lead)
    slot = make_slot(code, rack=make_rack(code))
    signal = Signal.objects.create(name=code)
    link = make_link(f"{code}:{code}", "C-04:2", code=code, signal=signal)
    chassis = make_chassis(code, design=make_design(code))
    for thing in (slot.rack, slot, signal, link, chassis, chassis.design):
        address = thing.get_absolute_url()
        response = client.get(address)
        assert response.status_code == 200, address
        assert response.context[type(thing).__name__.lower()] == thing
        assert client.get(f"{address}edit/").status_code in (200, 404)


@pytest.mark.parametrize(
    "address",
    ["racks/of/Z/", "slots/of/Z/", "designs/of/Z/", "chassis/of/Z/", "signals/of/Z/", "wire-list/of/Z/", "queries/7/"],
)
def test_a_code_that_nobody_painted_has_no_page(address: str, site_lead: Person, as_person: Any) -> None:
    assert as_person(site_lead).get(f"/machine/{address}").status_code == 404
