"""The database refuses nonsense about the machine, each rule with a sentence; the sets answer workshop questions."""

from collections.abc import Callable
from datetime import date, timedelta
from types import SimpleNamespace
from typing import Any

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, models, transaction
from django.utils import timezone

from restoration.machine.models import (
    BenchPoint,
    Chassis,
    DesignIssue,
    Fitting,
    Interconnect,
    Machine,
    Query,
    Rack,
    SignalLimit,
    Slot,
    Terminal,
)
from restoration.people.models import Person
from tests.factories import make_chassis, make_fitting, make_link, make_rack, make_slot

Build = Callable[[SimpleNamespace, Person], models.Model]


def _issue(piece: SimpleNamespace, letter: str, is_current: bool) -> DesignIssue:
    return DesignIssue(design=piece.design, letter=letter, issued_on=date(2026, 1, 1), is_current=is_current)


def _fitting(piece: SimpleNamespace, person: Person, **fields: Any) -> Fitting:
    plain = {"slot_label_read": "E-01", "chassis_label_read": "SR-14", "fitted_by": person, "entered_by": person}
    return Fitting(**{**plain, "chassis": make_chassis("SR-14"), "slot": make_slot("E-01"), **fields})


def _limit(piece: SimpleNamespace, **figures: Any) -> SignalLimit:
    return SignalLimit(**{"signal": piece.signal, "quantity": "delay", **figures})


def _point(piece: SimpleNamespace, **figures: Any) -> BenchPoint:
    return BenchPoint(**{"design": piece.design, "place": "output", "quantity": "delay", **figures})


EARLIER = timezone.now() - timedelta(days=9)
RULES: list[tuple[str, Build, Build]] = [
    ("The least value of a limit cannot be above its most.",
     lambda p, who: _limit(p, least=2, most=1), lambda p, who: _limit(p, least=1, most=1)),
    ("A limit needs at least one of least, nominal and most.",
     lambda p, who: _limit(p), lambda p, who: _limit(p, nominal=1)),
    ("This signal has a limit for that quantity already.",
     lambda p, who: _limit(p, quantity="amplitude", most=1), lambda p, who: _limit(p, most=1)),
    ("The least value of a limit cannot be above its most.",
     lambda p, who: _point(p, least=2, most=1), lambda p, who: _point(p, least=1, most=2)),
    ("A limit needs at least one of least, nominal and most.",
     lambda p, who: _point(p), lambda p, who: _point(p, most=1)),
    ("This design names that figure at that place already.",
     lambda p, who: _point(p, quantity="amplitude", most=1), lambda p, who: _point(p, place="V3 anode", most=1)),
    ("This drawing has an issue of that letter already.",
     lambda p, who: _issue(p, "D", False), lambda p, who: _issue(p, "C", False)),
    ("A drawing has one current issue.",
     lambda p, who: _issue(p, "E", True), lambda p, who: _issue(p, "E", False)),
    ("This slot has a terminal of that name already.",
     lambda p, who: Terminal(slot=p.slot, code="2"), lambda p, who: Terminal(slot=p.slot, code="2 ")),
    ("A wire's length cannot be negative.",
     lambda p, who: Interconnect(code="9", source=p.link.source, load=p.link.load, length_m=-0.1),
     lambda p, who: Interconnect(code="9", source=p.link.source, load=p.link.load, length_m=0)),
    ("There is a chassis in this slot already; withdraw it first.",
     lambda p, who: _fitting(p, who, slot=p.slot), lambda p, who: _fitting(p, who)),
    ("This chassis is in a slot already; withdraw it first.",
     lambda p, who: _fitting(p, who, chassis=p.chassis),
     lambda p, who: _fitting(p, who, chassis=p.chassis, fitted_at=EARLIER, removed_at=EARLIER, removed_by=who)),
    ("A withdrawal says who did it, and cannot come before the fitting.",
     lambda p, who: _fitting(p, who, removed_at=EARLIER, removed_by=who),
     lambda p, who: _fitting(p, who, fitted_at=EARLIER, removed_at=timezone.now(), removed_by=who)),
    ("A withdrawal says who did it, and cannot come before the fitting.",
     lambda p, who: _fitting(p, who, fitted_at=EARLIER, removed_at=timezone.now()),
     lambda p, who: _fitting(p, who)),
    ("The second person must be another than the one who fitted it.",
     lambda p, who: _fitting(p, who, second_person=who), lambda p, who: _fitting(p, who, second_person=p.other)),
    ("An answered query says when, by whom and what.",
     lambda p, who: Query(question="Which end?", answer="Left."), lambda p, who: Query(question="Which end?")),
    ("An answered query says when, by whom and what.",
     lambda p, who: Query(question="Which end?", answered_at=timezone.now(), answered_by=who),
     lambda p, who: Query(question="Which end?", answer="Left.", answered_at=timezone.now(), answered_by=who)),
]  # fmt: skip


@pytest.mark.parametrize(("sentence", "wrong", "right"), RULES)
def test_each_rule_refuses_what_it_should_and_no_more(
    sentence: str, wrong: Build, right: Build, piece: SimpleNamespace, tester: Person, second_tester: Person
) -> None:
    piece.other = second_tester
    nonsense = wrong(piece, tester)
    with pytest.raises(ValidationError) as refused:
        nonsense.validate_constraints()
    assert sentence in refused.value.messages
    with pytest.raises(IntegrityError), transaction.atomic():
        nonsense.save()
    Chassis.objects.filter(serial="SR-14").delete()
    sound = right(piece, tester)
    sound.validate_constraints()
    sound.save()


def test_every_rule_of_the_machine_has_a_sentence_and_a_test() -> None:
    told = {sentence for sentence, _, _ in RULES}
    for model in (BenchPoint, DesignIssue, Fitting, Interconnect, Query, SignalLimit, Terminal):
        for constraint in model._meta.constraints:
            assert constraint.violation_error_message in told, constraint.name


@pytest.mark.parametrize("model", [Rack, Slot, Chassis, Interconnect, Query])
def test_a_code_is_used_once(model: type[models.Model], piece: SimpleNamespace) -> None:
    field = {Chassis: "serial", Query: "key"}.get(model, "code")
    assert model._meta.get_field(field).unique  # type: ignore[union-attr]


def test_things_are_called_what_people_call_them(piece: SimpleNamespace, site_lead: Person) -> None:
    named = {
        piece.slot.rack: "rack C",
        piece.slot: "slot C-04",
        piece.link: "link 214",
        piece.link.source: "B-05:7",
        piece.chassis: "chassis CG-03",
        piece.design: "KS-204, Constituent generator",
        piece.design.current_issue: "KS-204 issue D",
        piece.signal.limits.first(): "digit pulse: amplitude",
        piece.design.bench_points.get(): "output, amplitude",
        piece.chassis.fitting_now: "chassis CG-03 in slot C-04",
        Query.objects.create(question="Which?", pk=7): "query 7",
        Machine.objects.the_one(): "Unnamed machine",
    }
    assert {str(thing) for thing in named} == set(named.values())
    assert Machine.objects.the_one() == Machine.objects.the_one()


def test_sets_answer_what_the_workshop_asks(piece: SimpleNamespace, builder: Person) -> None:
    spare = make_chassis("SR-14")
    make_slot("C-07", design=piece.design)
    make_link("A-01:1", "A-01:2", code="301")
    links = Interconnect.objects.order_by("code")
    assert [link.code for link in links.touching_slot(piece.slot)] == ["214"]
    assert [link.code for link in links.touching_rack(make_rack("C"))] == ["214", "215"]
    assert [link.code for link in links.with_same_source(piece.link)] == ["214", "215", "216"]
    assert list(Chassis.objects.of(builder)) == [piece.chassis]
    assert list(Chassis.objects.fitted()) == [piece.chassis]
    assert [slot.code for slot in Slot.objects.wanting_a_chassis()] == ["C-07"]
    assert spare.fitting_now is None


def test_a_slot_left_by_one_chassis_wants_another(piece: SimpleNamespace, tester: Person) -> None:
    fitting = piece.chassis.fitting_now
    Fitting.objects.filter(pk=fitting.pk).update(removed_at=timezone.now(), removed_by=tester)
    assert [slot.code for slot in Slot.objects.wanting_a_chassis()] == ["C-04"]
    assert list(Chassis.objects.fitted()) == []
    make_fitting(make_chassis("CG-04", design=piece.design), piece.slot)
    assert list(Slot.objects.wanting_a_chassis()) == []
