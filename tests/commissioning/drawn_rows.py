"""The drawn machine of the worked table, as rows."""

from datetime import date, timedelta
from typing import Any

from restoration.commissioning.models import Group
from restoration.engineering.doubt import Kind, Subject
from restoration.machine.models import Chassis, DesignIssue, Earth, Interconnect, Rack, Rail, Slot, Stage, StagePort
from restoration.people.models import Person
from restoration.proving.models import BenchTest, Instrument, SignalCheck
from tests.engineering.doubt.drawn import Drawing
from tests.factories import make_chassis, make_design, make_fitting, make_link, make_rack, make_slot


class DrawnRows:
    """Writes a drawing down as rows, and finds them again by their names."""

    def __init__(self, drawing: Drawing) -> None:
        self.drawing = drawing
        self.doer = Person.objects.create(display_name="Odile Marchetti", email="odile@net.example")
        self.second = Person.objects.create(display_name="Bram Okonjo", email="bram@net.example")
        self._places()
        self._designs()
        for wire in drawing.wires:
            make_link(wire.source, wire.load, code=wire.code, is_critical=wire.is_critical or None, loom=wire.loom)
        self._units()
        self._shared()
        self._records()

    def _places(self) -> None:
        for place, (code, slots) in enumerate(self.drawing.racks.items()):
            rack = make_rack(code, position=place + 1)
            for depth, slot in enumerate(slots):
                number = self.drawing.slots_of_design.get(slot)
                design = make_design(number, issue=None) if number else None
                make_slot(slot, rack=rack, position=depth + 1, design=design)

    def _designs(self) -> None:
        for number, stages in self.drawing.designs.items():
            design = make_design(number, issue=None)
            for drawn in stages:
                stage = Stage.objects.create(design=design, name=drawn.name, is_barrier=drawn.is_barrier)
                ports = [("in", mark) for mark in drawn.into] + [("out", mark) for mark in drawn.out_of]
                for way, mark in ports:
                    StagePort.objects.create(stage=stage, way=way, terminal=mark)
            letters = self.drawing.issues.get(number) or sorted({unit.letter for unit in self._built_to(number)})
            for place, letter in enumerate(letters):
                issued_on = date(2024, 1, 1) + timedelta(days=30 * place)
                DesignIssue.objects.create(design=design, letter=letter, issued_on=issued_on, is_current=False)

    def _built_to(self, number: str) -> list[Any]:
        return [unit for unit in self.drawing.chassis if unit.design == number and unit.letter]

    def _units(self) -> None:
        for unit in self.drawing.chassis:
            design = make_design(unit.design, issue=None)
            chassis = make_chassis(unit.serial, design=design, issue=design.issues.filter(letter=unit.letter).first())
            if unit.slot:
                make_fitting(chassis, Slot.objects.get(code=unit.slot), fitted_by=self.doer)

    def _shared(self) -> None:
        for code, (kind, slots) in self.drawing.rails.items():
            Rail.objects.create(code=code, kind=kind).slots.set(Slot.objects.filter(code__in=slots))
        for code, racks in self.drawing.earths.items():
            Earth.objects.create(code=code).racks.set(Rack.objects.filter(code__in=racks))
        for place, (code, (slots, links)) in enumerate(self.drawing.groups.items()):
            group = Group.objects.create(code=code, name=code, position=place)
            group.slots.set(Slot.objects.filter(code__in=slots))
            group.further_links.set(Interconnect.objects.filter(code__in=links))

    def _records(self) -> None:
        heading: dict[str, Any] = {"done_by": self.doer, "second_person": self.second, "entered_by": self.doer}
        for place, record in enumerate(self.drawing.bench_tests):
            used = {"instrument": self._instrument(record.instrument), "done_at": record.at, "pk": place + 1}
            chassis = Chassis.objects.get(serial=record.of)
            BenchTest.objects.create(chassis=chassis, result="passed", **used, **heading)
        for place, record in enumerate(self.drawing.signal_checks):
            used = {"instrument": self._instrument(record.instrument), "done_at": record.at, "pk": place + 1}
            link = Interconnect.objects.get(code=record.of)
            SignalCheck.objects.create(interconnect=link, result="passed", **used, **heading)

    def _instrument(self, mark: str) -> Instrument:
        return Instrument.objects.get_or_create(mark=mark, defaults={"kind": "oscilloscope"})[0]

    def subject(self, kind: Kind, **names: Any) -> Subject:
        """A subject by names, as the table gives them."""
        return Subject(kind, **{key: self._pk(key, name) for key, name in names.items()})

    def _pk(self, key: str, name: Any) -> Any:
        if key == "racks":
            return tuple(Rack.objects.filter(code__in=name).values_list("pk", flat=True))
        if key == "stage":
            number, _, stage = name.partition("/")
            return Stage.objects.get(design__number=number, name=stage).pk
        if key == "issue":
            number, _, letter = name.partition("/")
            return DesignIssue.objects.get(design__number=number, letter=letter).pk
        by_name: dict[str, tuple[Any, str]] = {
            "slot": (Slot, "code"),
            "chassis": (Chassis, "serial"),
            "taken_out": (Chassis, "serial"),
            "link": (Interconnect, "code"),
            "rail": (Rail, "code"),
            "earth": (Earth, "code"),
            "instrument": (Instrument, "mark"),
        }
        if key not in by_name:
            return name
        model, field = by_name[key]
        return model.objects.get(**{field: name}).pk
