"""What the services promise beyond the pages: one transaction, a line each, and word to those above."""

from collections.abc import Iterator
from datetime import date
from types import SimpleNamespace
from typing import Any

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError

from restoration.common.versions import EditedMeanwhile
from restoration.logbook.models import Entry
from restoration.machine import services
from restoration.machine.events import facts_changed
from restoration.machine.models import Chassis, Interconnect, Query, Rack, SignalLimit, WiringChange
from restoration.machine.services.saving import stored
from restoration.people.models import Person
from tests.factories import make_design, make_link, make_rack


@pytest.fixture
def told() -> Iterator[list[tuple[frozenset[int], frozenset[int]]]]:
    """What was told to those above: chassis and interconnects by row id."""
    heard: list[tuple[frozenset[int], frozenset[int]]] = []

    def listen(chassis: frozenset[int], interconnects: frozenset[int], **kwargs: Any) -> None:
        heard.append((chassis, interconnects))

    facts_changed.connect(listen)
    yield heard
    facts_changed.disconnect(listen)


def edit(link: Interconnect, by: Person, **changed: Any) -> Interconnect:
    now = {
        "source": services.End("B-05", "7"), "load": services.End("C-04", "2"), "signal": "digit pulse", "wire": "",
        "colour": "green", "length_m": 4.6, "loom": "12", "is_critical": None, "remarks": "", "version": link.version,
    }  # fmt: skip
    return services.edit_interconnect(interconnect=link, by=by, **{**now, **changed})


@pytest.mark.parametrize(
    ("changed", "kept", "touches"),
    [
        ({"colour": "white"}, {"colour": ["green", "white"]}, False),
        ({"remarks": "by the drum"}, {"remarks": ["", "by the drum"]}, False),
        ({"signal": "clock"}, {"signal": ["digit pulse", "clock"]}, False),
        ({"is_critical": True}, {"is_critical": [None, True]}, False),
        ({"length_m": 5.0}, {"length_m": [4.6, 5.0]}, True),
        ({"loom": "13"}, {"loom": ["12", "13"]}, True),
        ({"wire": "7/0.2"}, {"wire": ["", "7/0.2"]}, False),
        ({"length_m": None}, {"length_m": [4.6, None]}, False),
        ({"wire": "7/0.2", "loom": "13"}, {"wire": ["", "7/0.2"], "loom": ["12", "13"]}, True),
        ({"signal": ""}, {"signal": ["digit pulse", None]}, False),
        ({"load": services.End("C-06", "9")}, {"load": ["C-04:2", "C-06:9"]}, True),
        ({"source": services.End("C-06", "9")}, {"source": ["B-05:7", "C-06:9"]}, True),
    ],
)
def test_a_change_by_hand_keeps_what_was(
    changed: dict, kept: dict, touches: bool, piece: SimpleNamespace, site_lead: Person, told: list
) -> None:
    edit(piece.link, site_lead, **changed)
    change = WiringChange.objects.get()
    assert (change.fields, change.touches_wire, change.changed_by) == (kept, touches, site_lead)
    assert piece.link.pk in told[-1][1]
    assert Entry.objects.get().subject_code == "214"


def test_a_link_stored_as_it_was_keeps_no_change(piece: SimpleNamespace, site_lead: Person) -> None:
    edit(piece.link, site_lead)
    assert not WiringChange.objects.exists()
    assert Entry.objects.get().sentence == "Ama Boateng changed link 214 on the wire list: nothing."


def test_a_link_moved_to_another_source_is_felt_by_both(piece: SimpleNamespace, site_lead: Person, told: list) -> None:
    other = make_link("C-06:9", "D-02:1", code="400")
    edit(piece.link, site_lead, source=services.End("C-06", "9"))
    assert told[-1][1] == {other.pk, *(link.pk for link in piece.links)}


def test_a_load_more_is_felt_by_all_on_its_source(piece: SimpleNamespace, site_lead: Person, told: list) -> None:
    added = services.add_interconnect(
        source=services.End("B-05", "7"), load=services.End("D-02", "8"), code="500", by=site_lead
    )
    assert told[-1][1] == {added.pk, *(link.pk for link in piece.links)}
    assert Entry.objects.get().sentence == "Ama Boateng put link 500 on the wire list, from B-05:7 to D-02:8."


def test_an_old_version_stores_nothing(piece: SimpleNamespace, site_lead: Person) -> None:
    with pytest.raises(EditedMeanwhile):
        edit(piece.link, site_lead, version=0, load=services.End("C-06", "new"))
    assert not Entry.objects.exists()
    assert not piece.links[1].load.slot.terminals.filter(code="new").exists()


def test_limits_and_issues_are_told_to_those_above(piece: SimpleNamespace, site_lead: Person, told: list) -> None:
    services.set_limits(signal=piece.signal, limits=[services.Limit("amplitude", most=18.0)], by=site_lead)
    assert told[-1][1] == {link.pk for link in piece.links}
    services.add_issue(design=piece.design, letter="E", issued_on=date(2026, 1, 1), by=site_lead)
    assert told[-1][0] == {piece.chassis.pk}
    services.set_bench_points(design=piece.design, points=[], by=site_lead)
    assert told[-1][0] == {piece.chassis.pk}
    services.edit_slot(slot=piece.slot, rack=None, position=1, function="", design=piece.design, by=site_lead)
    assert told[-1][0] == {piece.chassis.pk}


def test_limits_that_cannot_be_stored_leave_those_that_stood(piece: SimpleNamespace, site_lead: Person) -> None:
    wrong = [services.Limit("amplitude", least=1.0), services.Limit("delay", least=2.0, most=1.0)]
    with pytest.raises(ValidationError):
        services.set_limits(signal=piece.signal, limits=wrong, by=site_lead)
    assert SignalLimit.objects.get(quantity="amplitude").least == 15
    assert not Entry.objects.exists()


def test_a_query_with_a_key_is_raised_once(db: None, tester: Person) -> None:
    first = services.raise_query(question="Which end?", key="end of 214", by=tester)
    assert services.raise_query(question="Which end is it?", key="end of 214", by=None) == first
    services.raise_query(question="Which end?", by=tester)
    services.raise_query(question="Which end?", by=tester)
    assert (Query.objects.count(), Entry.objects.count()) == (3, 3)


def test_a_chassis_to_an_issue_of_another_drawing_is_refused(db: None, site_lead: Person) -> None:
    other = make_design("KS-300", issue="A").current_issue
    with pytest.raises(ValidationError) as refused:
        services.add_chassis(serial="SR-1", design=make_design(), issue=other, by=site_lead)
    assert refused.value.messages == ["KS-300 issue A is an issue of another drawing than KS-207."]
    assert not Chassis.objects.exists()


def test_the_command_line_is_named_as_such(db: None) -> None:
    services.add_rack(code="G", by=None)
    assert Entry.objects.get().sentence == "The command line put rack G on the list."


def test_two_who_add_the_same_at_once_get_the_sentence(db: None, monkeypatch: pytest.MonkeyPatch) -> None:
    """The first check finds nothing, since the other one's row comes between the check and the storing."""
    looks = []
    full_clean = Rack.full_clean

    def blind_at_first(rack: Rack, **kwargs: Any) -> None:
        looks.append(rack)
        if len(looks) == 1:
            make_rack("G")
        else:
            full_clean(rack, **kwargs)

    monkeypatch.setattr(Rack, "full_clean", blind_at_first)
    with pytest.raises(ValidationError) as refused:
        stored(Rack(code="G"), taken={"code": "There is a rack G already."})
    assert refused.value.messages == ["There is a rack G already."]


def test_what_the_database_alone_refuses_is_not_hidden(piece: SimpleNamespace, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Rack, "full_clean", lambda rack, **kwargs: None)
    with pytest.raises(IntegrityError):
        stored(Rack(code="C"))
