"""The machine that every page is looked at with: one of everything, with long words and odd signs among it."""

from datetime import timedelta

from django.db import transaction
from django.urls import reverse
from django.utils import timezone

from restoration.common.images import clean_photo
from restoration.conditioning.known import case_of
from restoration.conditioning.models import NoteClass
from restoration.conditioning.page import in_place
from restoration.conditioning.services import PartUsed, keep_prediction, record_note
from restoration.engineering.in_place import Arrangement
from restoration.faults.services import close_fault, log_attempt, open_fault, reopen_fault
from restoration.logbook.services import write_line
from restoration.machine.models import Chassis, Interconnect, Machine
from restoration.machine.services import EndGiven, WireGiven, add_wire_kind, raise_query, set_terminal_figures
from restoration.people.models import Person
from restoration.proving.models import BenchReading, BenchTest
from restoration.proving.services import EndFigures, join_wire, record_signal_check, ring_out
from restoration.proving.services.bench_tests import BenchFigure
from restoration.proving.services.bench_tests import test_on_bench as record_bench_test
from restoration.proving.services.chassis_checks import check_cold, receive_chassis
from restoration.workshop.services import (
    PartGiven,
    RecipeGiven,
    add_photo,
    add_recipe,
    add_to_stores,
    allot,
    hand_over,
    take_step,
)
from tests.architecture.addresses import Address
from tests.architecture.small_machine import SmallMachine
from tests.factories import make_bench_point, make_chassis, make_link, make_slot, make_terminal
from tests.journeys.things import a_file, capture_found, capture_left, photograph

LONG = "Ж-07/β #4 = «former of the constituent generator, upper half, second from the window side»"
LONG_SERIAL, LONG_SLOT, LONG_CODE = LONG[:60].strip(), LONG[:40].strip(), LONG[:50].strip()
LONG_WORD = "counterclockwiseconstituentgeneratorpulseformerupperhalfsecondfromthewindow"


class FurnishedMachine(SmallMachine):
    """The small machine, with a past."""

    def __init__(self, walker: Person) -> None:
        super().__init__(walker)
        Machine.objects.update(is_demo=True)
        self.heading = {"done_by": self.other, "second_person": self.second, "entered_by": walker}
        self._figures()
        self._chassis_on_their_way()
        self._proved_links()
        self._signals_in_place()
        self._coils()
        self._fault_with_a_past()
        self._many_lines()

    def _figures(self) -> None:
        make_bench_point(self.design, "V3 anode, through the divider of R14 and R15", "dc_level")
        make_bench_point(self.design, "terminal 7", "pulse_duration", least=2e-6, most=3e-6, load_resistance_ohm=4700.0)
        for row in ({"quantity": "overshoot", "most": 0.1}, {"quantity": "rise_time", "nominal": 3e-7, "most": 5e-7}):
            self.signal.limits.create(**row)

    def _chassis_on_their_way(self) -> None:
        """One chassis at each stage; `handed_over` and `received` lie at the site's door and on its bench."""
        self.stages = {kind: self._moved_to(f"SR-{20 + row}", row) for row, kind in enumerate(STAGES)}
        received = self.stages["received"]
        receive_chassis(chassis=received, label_read=received.serial, papers_complete=True, **self.heading)
        said = {"agrees_with_drawing": True, "joints_good": True, "hazards": "cadmium on the old screws"}
        check_cold(
            chassis=received, ht_to_chassis_ohm=2.2e6, heater_to_chassis_ohm=1e7, remarks=LONG, **said, **self.heading
        )
        figures = [BenchFigure(point.place, point.quantity, 17.0) for point in self.design.bench_points.all()]
        self.bench = record_bench_test(chassis=received, readings=figures, ht_v=250.0, remarks=LONG, **self.heading)
        make_chassis(LONG_SERIAL, design=self.design, builder=self.walker)
        for caption in ("Component side", LONG):
            add_photo(chassis=self.stages["built"], file=a_file(photograph()), caption=caption, by=self.walker)

    def _moved_to(self, serial: str, steps: int) -> Chassis:
        chassis = make_chassis(serial, design=self.design, remarks=LONG)
        allot(chassis=chassis, builder=self.walker, by=self.other, text="The valves follow by post.")
        for kind in ("in hand", "stuck", "built")[:steps]:
            if kind == "built":
                take_step(chassis=chassis, kind="going on", done_by=self.walker, entered_by=self.walker)
            take_step(chassis=chassis, kind=kind, done_by=self.walker, entered_by=self.walker, text=LONG)
        if steps > 3:
            hand_over(chassis=chassis, done_by=self.walker, entered_by=self.walker, snags=LONG)
        return chassis

    def _proved_links(self) -> None:
        """A link with several loads, joined, rung out, failed and mended, and many like it for a second page."""
        facts = {"colour": "green", "length_m": 4.6, "wire": "hook-up"}
        self.proved = make_link("C-04:7", "C-05:2", code="L-17", signal=self.signal, **facts)
        for load in ("D-01:1", "D-02:14a"):
            self.too_large = make_link("C-04:7", load, signal=self.signal, loom="12", remarks=LONG, **facts)
        join_wire(interconnect=self.proved, **self.heading)
        ring_out(
            interconnect=self.proved, resistance_ohm=0.4, to_chassis_ohm=2e7, both_labels_read=True, **self.heading
        )
        for left in (None, capture_left()):
            self.judged = record_signal_check(
                interconnect=self.proved,
                ends=[*self._seen("load", capture_found(), left), *self._seen("source", capture_found(), None)],
                loads_joined=True,
                parts_changed="1k2 in series at C-04:7" if left else "",
                ht_v=250.0,
                also_running=LONG,
                instrument=self.instrument,
                **self.heading,
            )
        slot = make_slot(LONG_SLOT, rack="Б/2", function=LONG_WORD, design=self.design)
        self.long_link = make_link(f"{slot.code}:+1", "C-05:9", code=LONG, wire="7/0.2 mm, cotton over rubber")
        source, load = make_terminal("C-04:20"), make_terminal("C-05:20")
        Interconnect.objects.bulk_create(
            Interconnect(code=f"M-{row:03}", source=source, load=load, signal=self.signal) for row in range(60)
        )

    def _seen(self, end: str, found: bytes, left: bytes | None) -> list[EndFigures]:
        stages = {"found": found} | ({"left": left} if left else {})
        return [EndFigures(end, stage, {}, data, f"{end}-{stage}.csv") for stage, data in stages.items()]

    def _signals_in_place(self) -> None:
        """All is known of the proved link; a note with its prediction stands on it, and was measured after."""
        self._known_ends()
        for value in (330.0, 1200.0, 3300.0):
            place = {"make": LONG_WORD[:60], "place": LONG[:60], "remarks": LONG}
            line = add_to_stores(part=PartGiven("resistor", value, 0.05, quantity=4, **place), by=self.walker)
        fitted = Arrangement(series_ohm=1200.0, shunt_ohm=3300.0)
        foreseen = in_place(case_of(self.proved)).now
        kept = {"interconnect": self.proved, "figures": foreseen.figures, "assumed": [LONG], "by": self.walker}
        keep_prediction(arrangement=Arrangement(), **kept)
        self.conditioned = record_note(
            interconnect=self.proved,
            arrangement=fitted,
            parts=[
                PartUsed("series_ohm", "resistor", 1200.0),
                PartUsed("shunt_ohm", "resistor", 3300.0, 0.05, 0.2, 18.0, line),
            ],
            prediction=keep_prediction(arrangement=fitted, **kept),
            kind=NoteClass.ADDED,
            place=LONG,
            undone_how=f"{LONG} {LONG_WORD}",
            original_kept=LONG,
            marked_how=LONG_WORD,
            why=LONG,
            photo=clean_photo(a_file(photograph())),
            **self.heading,
        )
        seen = self._seen("load", capture_left(), None)
        record_signal_check(interconnect=self.proved, ends=seen, loads_joined=True, **self.heading)

    def _known_ends(self) -> None:
        figures = {"load_ohm": 4700.0, "load_f": 60e-12, "remarks": LONG}
        ends = [EndGiven("7", drive_ohm=150.0, drive_most_a=0.06), *(EndGiven(mark, **figures) for mark in "129")]
        set_terminal_figures(design=self.design, rows=ends, by=self.walker)
        add_wire_kind(name="hook-up", given=WireGiven("over chassis", 6e-4, 0.02, remarks=LONG), by=self.walker)
        driving = self.slot.fittings.get().chassis
        test = BenchTest.objects.create(chassis=driving, result="passed", **self.heading)
        for quantity, value in {"amplitude": 29.0, "pulse_duration": 2.4e-6, "rise_time": 3e-7}.items():
            BenchReading.objects.create(test=test, place="terminal 7", quantity=quantity, value=value)

    def _coils(self) -> None:
        """A damped inductor and one of many layers, each with all that can be said of it."""
        said = {"purpose": LONG, "finish": LONG, "remarks": f"{LONG} {LONG_WORD}", "wanted_h": 5e-5, "tolerance": 0.05}
        wire = {"bare_m": 1.22e-4, "covered_m": 1.5e-4, "wire": "40 SWG"}
        body = {"body_ohm": 1e4, "body_tolerance": 0.1, "body_w": 1.0, "stray_f": 1.2e-11}
        one = RecipeGiven(title=LONG, former_m=6.3e-3, turns=110, **wire, **body, **said)
        many = RecipeGiven(
            title=LONG, former_m=0.01, turns=400, layers=4, winding="multilayer", winding_length_m=0.02, **wire, **said
        )
        for code, given in ((LONG_CODE, one), ("L-2", many)):
            add_recipe(code=code, given=given, by=self.walker, designs=[self.design])

    def _fault_with_a_past(self) -> None:
        seen = {"seen_by": self.other, "entered_by": self.walker}
        self.story = open_fault(
            interconnect=self.proved,
            symptom=f"Counts double. {LONG}",
            how_often="about once a minute",
            from_check=self.judged,
            **seen,
        )
        tried = {"done_by": self.second, "entered_by": self.walker, "minutes": 95}
        log_attempt(fault=self.story, tried=f"Another valve in V3. {LONG_WORD}", read="17.2 V", **tried)
        close_fault(fault=self.story, outcome="no fault found", by=self.walker)
        reopen_fault(fault=self.story, what_was_seen="The same, with rack E running.", **seen)

    def _many_lines(self) -> None:
        for number in range(3):
            raise_query(
                question=f"{number}: {LONG} {LONG_WORD}?", by=self.other, subject_kind="link", subject_code=LONG
            )
        with transaction.atomic():
            for number in range(60):
                happened = timezone.now() - timedelta(days=number)
                write_line(act="note", sentence=f"{LONG_WORD} {number}.", by=self.other, happened_at=happened)

    def variants(self) -> list[tuple[Address, dict[str, object]]]:
        """Pages that look otherwise with another thing than the first."""
        serials = [(name, "serial", self.stages[stage].serial) for name, stage in BY_STAGE]
        others = [
            ("machine:chassis-detail", "serial", LONG_SERIAL),
            ("machine:slot-detail", "code", LONG_SLOT),
            ("machine:interconnect-detail", "code", self.proved.code),
            ("machine:interconnect-detail", "code", LONG),
            ("machine:rack-detail", "code", "Б/2"),
            ("proving:signal-check-add", "code", LONG),
            ("proving:bench-test-detail", "pk", self.bench.pk),
            ("proving:signal-check-detail", "pk", self.judged.pk),
            ("faults:fault-detail", "pk", self.story.pk),
            ("faults:fault-add", "code", self.proved.code),
            ("machine:query-detail", "pk", self.query.pk + 1),
            ("conditioning:link", "code", self.proved.code),
            ("conditioning:link", "code", LONG),
            ("conditioning:note-detail", "pk", self.conditioned.pk),
            ("conditioning:note-card", "pk", self.conditioned.pk),
            ("conditioning:bench-slot", "code", LONG_SLOT),
            ("workshop:coil", "code", LONG_CODE),
            ("workshop:coil", "code", "L-2"),
            *(("sums:sum", "name", slug) for slug in LIKE_NO_OTHER),
        ]
        return [(Address(name, frozenset({word})), {word: value}) for name, word, value in (*serials, *others)]

    def asked(self) -> list[tuple[str, str]]:
        """Pages that look otherwise for another link or by what is asked, each with the name of its address."""
        proved, large = (
            {name: reverse(f"conditioning:{name}", args=[link.code]) for name in ("link", "note-add")}
            for link in (self.proved, self.too_large)
        )
        beside = reverse("conditioning:bench-slot", args=[self.slot.code])
        parts = "?choose=series_ohm:330.0,attenuator_ohm:1200.0,attenuator_f:4.7e-11,shunt_ohm:3300.0"
        return [
            ("conditioning:link", large["link"]),
            ("conditioning:link", large["link"] + parts),
            ("conditioning:link", proved["link"] + "?level=bench"),
            ("conditioning:note-add", proved["note-add"] + parts),
            ("conditioning:note-add", large["note-add"] + "?choose=nothing"),
            ("conditioning:bench-slot", f"{beside}?page=4"),
            ("conditioning:constants", f"{reverse('conditioning:constants')}?fit=now"),
        ]


# Of the sums, those that look like no other: of many columns, of lines to fill in, of a drawing, of many rows.
LIKE_NO_OTHER = ("pair", "timing", "flat", "hum", "ripple", "termination")
STAGES = ("allotted", "in hand", "stuck", "built", "handed over", "received")
BY_STAGE = (
    *(("workshop:chassis-work", stage) for stage in STAGES),
    ("workshop:hand-over", "built"),
    ("workshop:send-back", "received"),
    ("proving:receive", "handed over"),
    ("proving:cold-check", "built"),
    ("proving:bench-test", "received"),
    ("machine:chassis-detail", "built"),
    ("machine:chassis-detail", "received"),
)
