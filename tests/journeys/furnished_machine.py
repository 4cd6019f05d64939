"""The machine that every page is looked at with: one of everything, with long words and odd signs among it."""

from datetime import timedelta

from django.db import transaction
from django.utils import timezone

from restoration.faults.services import close_fault, log_attempt, open_fault, reopen_fault
from restoration.logbook.services import write_line
from restoration.machine.models import Chassis, Interconnect, Machine
from restoration.machine.services import raise_query
from restoration.people.models import Person
from restoration.proving.services import EndFigures, join_wire, record_signal_check, ring_out
from restoration.proving.services.bench_tests import BenchFigure
from restoration.proving.services.bench_tests import test_on_bench as record_bench_test
from restoration.proving.services.chassis_checks import check_cold, receive_chassis
from restoration.workshop.services import add_photo, allot, hand_over, take_step
from tests.architecture.addresses import Address
from tests.architecture.small_machine import SmallMachine
from tests.factories import make_bench_point, make_chassis, make_link, make_slot, make_terminal
from tests.journeys.things import a_file, capture_found, capture_left, photograph

LONG = "Ж-07/β #4 = «former of the constituent generator, upper half, second from the window side»"
LONG_SERIAL, LONG_SLOT = LONG[:60].strip(), LONG[:40].strip()
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
        self.proved = make_link("C-04:7", "C-05:2", code="L-17", signal=self.signal, colour="green", length_m=4.6)
        for load in ("D-01:1", "D-02:14a"):
            make_link("C-04:7", load, signal=self.signal, loom="12", remarks=LONG)
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
        ]
        return [(Address(name, frozenset({word})), {word: value}) for name, word, value in (*serials, *others)]


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
