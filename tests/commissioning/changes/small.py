"""A machine of four slots and four links, small enough to say by hand what each change puts in doubt.

    B-05 --101--> C-07 --102 (critical)--> D-11 --104--> D-12
                       --103------------------------------^

C-07 has one stage, “carry”; D-11 restores the pulse. 101 and 102 run in one loom; 102 and 103 share their source.
"""

import io
import uuid

from PIL import Image

from restoration.commissioning.models import Group
from restoration.engineering.doubt import Kind
from restoration.machine.models import Earth, Rail, Stage, StagePort
from restoration.proving.models import Instrument
from tests.commissioning.records import bench, check, make_fit, may, prove
from tests.factories import make_chassis, make_design, make_fitting, make_link, make_rack, make_slot

K = Kind
FIT = ("fitted", "heaters on", "HT on")
SIGNAL = ("signal-checked",)
WIRE = ("rung out", "signal-checked")


class Small:
    """The rows of the machine, everything proved by the middle of May 2026."""

    def __init__(self):
        self.racks = [make_rack(code, position=place) for place, code in enumerate("BCD")]
        self.adder, former = make_design("KS-207"), make_design("KS-300", title="Pulse former")
        self.carry = _stage(self.adder, "carry", "2", "7")
        _stage(former, "former", "3", "8", is_barrier=True)
        self.slot = make_slot("C-07", design=self.adder)
        make_slot("D-11", design=former)
        self.links = {
            "101": make_link("B-05:1", "C-07:2", code="101", loom="12"),
            "102": make_link("C-07:7", "D-11:3", code="102", loom="12", is_critical=True),
            "103": make_link("C-07:7", "D-12:4", code="103"),
            "104": make_link("D-11:8", "D-12:5", code="104"),
        }
        self._units()
        self._shared()
        self._proved()

    def _units(self):
        self.fitted, self.spare = make_chassis("CG-07", design=self.adder), make_chassis("CG-12", design=self.adder)
        for unit in (self.fitted, self.spare):
            make_fit(unit)
        self.fitting = make_fitting(self.fitted, self.slot, at=may(5))

    def _shared(self):
        self.rail = Rail.objects.create(code="HT-2", kind="HT")
        self.rail.slots.add(self.slot)
        self.earth = Earth.objects.create(code="E-1")
        self.earth.racks.add(*self.racks[:2])
        self.group = Group.objects.create(code="ADD", name="Adder")
        self.group.slots.add(self.slot, self.links["104"].source.slot)
        self.scope = Instrument.objects.create(mark="OSC-1", kind="oscilloscope")

    def _proved(self):
        for code in ("101", "103", "104"):
            prove(self.links[code], 6)
        prove(self.links["102"], 6)
        self.check = check(self.links["102"], 8, instrument=self.scope)
        self.bench = bench(self.fitted, 4)
        type(self.bench).objects.filter(pk=self.bench.pk).update(instrument=self.scope)

    def fields(self, kind):
        """What the service takes for a change of this kind on this machine."""
        unit, link = {"slot": self.slot, "stage": self.carry}, {"interconnect": self.links["102"]}
        return {
            K.LIKE_VALVE: {**unit, "part": "V3"},
            K.LIKE_PART: {**unit, "part": "R12"},
            K.OTHER_PART: {**unit, "part": "R12", "was": "4.7 kΩ", "now": "3.9 kΩ"},
            K.REMADE: link,
            K.LOAD: {**link, "part": "a dummy load of 10 kΩ", "now": "added"},
            K.CONDITIONED: {**link, "part": "terminator", "was": "1 kΩ", "now": "680 Ω"},
            K.RAIL: {"rail": self.rail, "part": "setting", "was": "300 V", "now": "310 V"},
            K.EARTH: {"earth": self.earth, "part": "bond at rack C made again"},
            K.INSTRUMENT: {"instrument": self.scope, "since": may(1)},
            K.REST: {"racks": (self.racks[1],), "since": may(1)},
            K.KNOCK: {"slot": self.slot, "now": "knocked"},
        }[kind]


def _stage(design, name, into, out_of, *, is_barrier=False):
    stage = Stage.objects.create(design=design, name=name, is_barrier=is_barrier)
    StagePort.objects.create(stage=stage, terminal=into, way="in")
    StagePort.objects.create(stage=stage, terminal=out_of, way="out")
    return stage


# What the service is given, the short phrase, and the doubts: the rule, the code of the item, the gates.
PHRASES = {
    K.LIKE_VALVE: "valve V3 of stage carry in slot C-07 replaced by one like it",
    K.LIKE_PART: "R12 of stage carry in slot C-07 replaced by one like it",
    K.OTHER_PART: "R12 of stage carry in slot C-07 changed from 4.7 kΩ to 3.9 kΩ",
    K.REMADE: "link 102 made again",
    K.LOAD: "a dummy load of 10 kΩ added at the source of link 102",
    K.CONDITIONED: "terminator on link 102 changed from 1 kΩ to 680 Ω",
    K.RAIL: "setting of rail HT-2 changed from 300 V to 310 V",
    K.EARTH: "earth E-1 changed: bond at rack C made again",
    K.INSTRUMENT: "instrument OSC-1 found out of limits, last known good on 01 May 2026",
    K.REST: "rack C at rest since 01 May 2026",
    K.KNOCK: "slot C-07 knocked",
}
DOUBTS = {
    K.SWAPPED: {
        (1, "CG-12", FIT),
        (1, "CG-07", FIT),
        *((2, code, WIRE) for code in ("101", "102", "103")),
        (3, "ADD", ("functional check", "margin check", "soak")),
    },
    K.LIKE_VALVE: {
        (4, "CG-07", ("HT on",)),
        (5, "102", SIGNAL),
        (5, "103", SIGNAL),
        (6, "ADD", ("functional check",)),
    },
    K.LIKE_PART: {
        (7, "CG-07", ("HT on",)),
        *((8, code, SIGNAL) for code in ("101", "102", "103")),
        (9, "ADD", ("functional check",)),
    },
    K.OTHER_PART: {
        (10, "CG-07", ("bench-tested", "HT on")),
        *((11, code, SIGNAL) for code in ("101", "102", "103")),
        *((12, code, SIGNAL) for code in ("102", "103")),
        (13, "ADD", ("functional check", "margin check")),
    },
    K.REMADE: {
        (14, "102", ("joined", *WIRE)),
        (15, "103", SIGNAL),
        (16, "101", SIGNAL),
        (17, "ADD", ("functional check",)),
    },
    K.LOAD: {(18, "102", SIGNAL), (19, "103", SIGNAL), (20, "ADD", ("functional check", "margin check"))},
    K.CONDITIONED: {(21, "102", SIGNAL), (22, "103", SIGNAL), (23, "ADD", ("functional check", "margin check"))},
    K.RAIL: {
        (24, "CG-07", ("HT on",)),
        (25, "101", SIGNAL),
        (25, "102", SIGNAL),
        (26, "C", ("HT proved",)),
        (27, "ADD", ("margin check", "soak")),
    },
    K.EARTH: {
        (28, "101", SIGNAL),
        (28, "102", SIGNAL),
        (29, "B", ("bonded",)),
        (29, "C", ("bonded",)),
        (30, "ADD", ("soak",)),
    },
    K.DRAWING_AS_BUILT: set(),
    K.DRAWING_FUNCTION: {(32, "CG-07", ("bench-tested",)), (32, "CG-12", ("bench-tested",))},
    K.INSTRUMENT: {(33, "CG-07", ("bench-tested",)), (33, "102", SIGNAL)},
    K.REST: {
        (34, "CG-07", ("heaters on", "HT on")),
        (35, "102", SIGNAL),
        (36, "C", ("heaters proved", "HT proved")),
        (37, "ADD", ("functional check",)),
    },
    K.KNOCK: {
        (38, "CG-07", ("cold-checked", "heaters on", "HT on")),
        (39, "102", SIGNAL),
        (41, "ADD", ("functional check",)),
    },
}
PASSED_OVER = {K.RAIL: {"103"}, K.EARTH: {"103"}}


def asked_of(change):
    """What a stored change puts in doubt, as the table above has it."""
    return {
        (doubt.rule_number, _code(doubt), tuple(sorted(doubt.gates, key=_GATES.index)))
        for doubt in change.doubts.filter(is_asked=True)
    }


def passed_over_by(change):
    """The items that the rules of a stored change pass over."""
    return {_code(doubt) for doubt in change.doubts.filter(is_asked=False)}


_GATES = ("joined", *WIRE, "bonded", "heaters proved", "HT proved", "cold-checked", "bench-tested", *FIT)
_GATES += ("functional check", "margin check", "soak")


def _code(doubt):
    if doubt.chassis:
        return doubt.chassis.serial
    return (doubt.interconnect or doubt.rack or doubt.group).code


def a_photo():
    """A small photograph, as a phone sends it."""
    file = io.BytesIO()
    Image.new("RGB", (64, 48), "grey").save(file, "JPEG")
    file.seek(0)
    file.name = "bench.jpg"
    return file


def sent(person, second=None, **words):
    """What a browser sends of a form of a change, the rest of the fields by name."""
    return {
        "form_token": str(uuid.uuid4()),
        "why": "It was dark.",
        "done_by": person.pk,
        "second_person": second.pk if second else "",
        "done_at": "",
        **words,
    }
