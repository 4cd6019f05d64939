"""One of everything that an address can name, and which of them each address asks for."""

from datetime import timedelta
from hashlib import sha256
from typing import Any

from allauth.mfa.models import Authenticator
from cryptography.hazmat.primitives.asymmetric import ec
from django.core.files.base import ContentFile
from django.db import transaction
from django.utils import timezone
from fido2.cose import ES256
from fido2.utils import websafe_encode
from fido2.webauthn import AttestationObject, AttestedCredentialData, AuthenticatorData, CollectedClientData

from restoration.commissioning.models import AgainSheet, Change, GateRecord, Group
from restoration.conditioning.models import ModificationNote, WiringFit
from restoration.engineering.in_place import NOMINAL
from restoration.faults.models import Fault
from restoration.logbook.services import write_line
from restoration.machine import waiting_files
from restoration.machine.models import Earth, Machine, Query, Rail, WireKind
from restoration.people.models import Invitation, Person, RoleHolding
from restoration.people.roles import Role
from restoration.proving.models import BenchTest, Instrument, Joining, RingOut
from restoration.proving.services import EndFigures, record_signal_check
from restoration.workshop.models import CoilRecipe, Photo, StoresLine
from tests.factories import make_chassis, make_design, make_fitting, make_link, make_rack, make_signal, make_slot


def a_pulse() -> bytes:
    """A capture of one pulse of 17 V."""
    levels = [0.0] * 40 + [8.5] + [17.0] * 40 + [8.5] + [0.0] * 40
    rows = [f"{index * 1e-7:.7e},{level}" for index, level in enumerate(levels)]
    return "\n".join(["time (s),level (V)", *rows, ""]).encode()


def a_credential() -> dict[str, Any]:
    """What a device sends when it made a passkey."""
    public_key = ES256.from_cryptography_key(ec.generate_private_key(ec.SECP256R1()).public_key())
    attested = AttestedCredentialData.create(bytes(16), b"telephone", public_key)
    flags = AuthenticatorData.FLAG.AT | AuthenticatorData.FLAG.UP | AuthenticatorData.FLAG.UV
    made = AuthenticatorData.create(sha256(b"testserver").digest(), flags, 0, attested)
    said = CollectedClientData.create("webauthn.create", b"challenge", "http://testserver")
    return {
        "id": websafe_encode(b"telephone"),
        "rawId": websafe_encode(b"telephone"),
        "type": "public-key",
        "response": {
            "clientDataJSON": websafe_encode(said),
            "attestationObject": websafe_encode(AttestationObject.create("none", made, {})),
        },
        "clientExtensionResults": {"credProps": {"rk": True}},
    }


class SmallMachine:
    """A machine of one link, whose chassis the walker is building."""

    def __init__(self, walker: Person | None) -> None:
        self.other = Person.objects.create(display_name="Somebody Else", email="else@net.example")
        self.second = Person.objects.create(display_name="Second Person", email="second@net.example")
        self.walker = walker or self.other
        self._places()
        self._records()
        self._sheets()
        self._people()

    def _places(self) -> None:
        Machine.objects.create(name="Kestrel Sands tide computer")
        self.rack, self.design = make_rack("C"), make_design()
        self.slot = make_slot("C-04", design=self.design)
        self.empty_slot = make_slot("C-05", design=self.design)
        self.signal = make_signal(amplitude=(15, None, 20))
        self.link = make_link(signal=self.signal, length_m=4.6)
        self.chassis = make_chassis("SR-14", design=self.design, builder=self.walker)
        self.others_chassis = make_chassis("SR-15", design=self.design, builder=self.other)
        make_fitting(make_chassis("SR-16", design=self.design), self.slot, fitted_by=self.other)
        self.group = Group.objects.create(code="SUM", name="Summing register")
        self.rail = Rail.objects.create(code="HT-2", kind="HT")
        self.earth = Earth.objects.create(code="E-1")
        self.stores_line = StoresLine.objects.create(kind="resistor", value=4700.0, tolerance=0.05, quantity=12)
        self.coil = CoilRecipe.objects.create(
            code="L-1", title="peaking inductor", former_m=0.0063, bare_m=0.00012, covered_m=0.00015, turns=178
        )
        self.wire_kind = WireKind.objects.create(name="tinned", form="twin", conductor_m=0.001, spacing_m=0.01)
        self.query = Query.objects.create(question="Which terminal is 2a?", raised_by=self.other)

    def _records(self) -> None:
        heading = {"done_by": self.other, "second_person": self.second, "entered_by": self.other}
        self.instrument = Instrument.objects.create(mark="OSC-1", kind="oscilloscope")
        self.bench_test = BenchTest.objects.create(chassis=self.chassis, result="failed", **heading)
        RingOut.objects.create(interconnect=self.link, resistance_ohm=0.2, result="passed", **heading)
        Joining.objects.create(interconnect=self.link, **heading)
        self.check = record_signal_check(
            interconnect=self.link,
            ends=[EndFigures(end="load", stage="found", capture=a_pulse(), name="capture.csv")],
            **heading,
        )
        self.capture = self.check.captures.get()
        people = {"seen_by": self.other, "entered_by": self.other}
        self.gate_record = GateRecord.objects.create(
            rack=self.rack, gate="bonded", result="passed", seen="0.02 ohm", **heading
        )
        self.fault = Fault.objects.create(interconnect=self.link, symptom="It rings.", **people)
        self.closed_fault = Fault.objects.create(
            interconnect=self.link,
            symptom="It was quiet.",
            outcome="no fault found",
            opened_at=timezone.now() - timedelta(days=2),
            closed_at=timezone.now(),
            closed_by=self.other,
            **people,
        )
        picture = {"image": ContentFile(b"jpeg", "p.jpg"), "small": ContentFile(b"jpeg", "s.jpg")}
        self.photo = Photo.objects.create(
            chassis=self.chassis, width=1, height=1, sha256="0" * 64, added_by=self.other, **picture
        )
        self.change = Change.objects.create(
            kind="knocked, moved or damp",
            what="slot C-04 knocked",
            why="a ladder",
            slot=self.slot,
            **heading,
            **picture,
        )

        fitted = Change.objects.create(
            kind="attenuator or terminator fitted or changed",
            what="terminator fitted",
            why="it rang",
            interconnect=self.link,
            **heading,
        )
        self.note = ModificationNote.objects.create(
            change=fitted, arrangement={"shunt_ohm": 1000.0}, place="at C-04 terminal 2", undone_how="Unsolder it."
        )
        self.fit = WiringFit.objects.create(record_count=0, told=NOMINAL.as_dict())

    def _sheets(self) -> None:
        row = {"kind": "interconnect", "code": self.link.code, "gate": "signal-checked", "phase": 2, "order": 2}
        place = {"place": [0, "C", 0, "C-04"], "reasons": [], "is_critical": False, "apart": ""}
        self.sheet = AgainSheet.objects.create(made_by=self.other, asks="all that is in doubt", rows=[row | place])

    def _people(self) -> None:
        self.holding = RoleHolding.objects.create(person=self.other, role=Role.BUILDER)
        self.invitation = Invitation.objects.create(
            email="new@net.example", display_name="New Here", expires_at=timezone.now() + timedelta(days=1)
        )
        self.passkey = Authenticator.objects.create(
            user=self.walker, type=Authenticator.Type.WEBAUTHN, data={"name": "Telephone", "credential": a_credential()}
        )
        with transaction.atomic():
            self.line = write_line(act="note", sentence="The net loft was opened.", by=self.other)
        self.waiting = waiting_files.keep(
            b"from_slot,from_terminal,to_slot,to_terminal\nC-04,1,C-05,1\n",
            name="list.csv",
            create_missing=True,
            both_ends=False,
            sent_by=self.walker.pk,
        )

    def arguments(self, name: str, wanted: set[str]) -> dict[str, Any]:
        """What to put into the address `name`: by name where one word means several things, otherwise by the word."""
        special = self._by_name().get(name, {})
        return {word: special[word] if word in special else self._by_word(name, word) for word in wanted}

    def _by_word(self, name: str, word: str) -> Any:
        known = {"serial": self.chassis.serial, "mark": self.instrument.mark}
        if word not in known:
            raise LookupError(f"Say in small_machine.py which “{word}” the address {name} is walked with.")
        return known[word]

    def _by_name(self) -> dict[str, dict[str, Any]]:
        link, rack, slot = ({"code": thing.code} for thing in (self.link, self.rack, self.slot))
        design, signal = {"number": self.design.number}, {"name": self.signal.name}
        fault, check, passkey = ({"pk": row.pk} for row in (self.fault, self.check, self.passkey))
        return {
            "mfa_edit_webauthn": passkey,
            "mfa_remove_webauthn": passkey,
            "kestrel:play": {"pk": self.other.pk},
            "people:invitation": {"token": self.invitation.token},
            "people:person-detail": {"pk": self.other.pk},
            "people:role-give": {"pk": self.other.pk},
            "people:role-end": {"pk": self.holding.pk},
            "logbook:entry-detail": {"number": self.line.number},
            "machine:rack-detail": rack,
            "machine:rack-edit": rack,
            "machine:slot-detail": slot,
            "machine:slot-edit": slot,
            "machine:terminal-add": slot,
            "machine:design-detail": design,
            "machine:design-edit": design,
            "machine:issue-add": design,
            "machine:bench-points": design,
            "machine:design-stages": design,
            "machine:design-ends": design,
            "machine:rail-detail": {"code": self.rail.code},
            "machine:rail-edit": {"code": self.rail.code},
            "machine:earth-detail": {"code": self.earth.code},
            "machine:earth-edit": {"code": self.earth.code},
            "machine:signal-detail": signal,
            "machine:signal-limits": signal,
            "machine:interconnect-detail": link,
            "machine:interconnect-edit": link,
            "conditioning:link": link,
            "conditioning:link-trace": link,
            "conditioning:keep-prediction": link,
            "conditioning:note-add": link,
            "conditioning:note-detail": {"pk": self.note.pk},
            "conditioning:note-card": {"pk": self.note.pk},
            "conditioning:bench-slot": slot,
            "conditioning:constants-detail": {"pk": self.fit.pk},
            "machine:wire-kind-edit": {"pk": self.wire_kind.pk},
            "machine:wire-list-confirm": {"word": self.waiting},
            "machine:query-detail": {"pk": self.query.pk},
            "machine:query-answer": {"pk": self.query.pk},
            "workshop:step-add": {"kind": "note"},
            "workshop:photo-image": {"pk": self.photo.pk},
            "workshop:photo-small": {"pk": self.photo.pk},
            "workshop:stores-line": {"pk": self.stores_line.pk},
            "workshop:stores-edit": {"pk": self.stores_line.pk},
            "workshop:stores-move": {"pk": self.stores_line.pk},
            "workshop:coil": {"code": self.coil.code},
            "workshop:coil-edit": {"code": self.coil.code},
            "proving:bench-test-detail": {"pk": self.bench_test.pk},
            "proving:concession-add": {"kind": "bench-test", "pk": self.bench_test.pk},
            "proving:join": link,
            "proving:lift": link,
            "proving:ring-out": link,
            "proving:signal-check-add": link,
            "proving:signal-check-detail": check,
            "proving:capture-original": {"pk": self.capture.pk},
            "proving:capture-trace": {"pk": self.capture.pk},
            "faults:fault-add": link,
            "faults:fault-detail": fault,
            "faults:fault-edit": fault,
            "faults:attempt-add": fault,
            "faults:fault-close": fault,
            "faults:fault-reopen": {"pk": self.closed_fault.pk},
            "commissioning:rack-readiness": rack,
            "commissioning:unlock-rack": rack,
            "commissioning:gate-sign": {"kind": "rack", "code": self.rack.code, "gate": "bonded"},
            "commissioning:gate-record": {"pk": self.gate_record.pk},
            "commissioning:group-detail": {"code": self.group.code},
            "commissioning:group-edit": {"code": self.group.code},
            "commissioning:again-sheet": {"pk": self.sheet.pk},
            "commissioning:again-enter": {"pk": self.sheet.pk},
            "commissioning:rule-edit": {"number": 2},
            "commissioning:rule-change": {"number": 2},
            "commissioning:change-form": {"kind": "knock"},
            "commissioning:change-before": {"kind": "knock"},
            "commissioning:change-detail": {"pk": self.change.pk},
            "commissioning:change-take-back": {"pk": self.change.pk},
            "commissioning:change-photo": {"pk": self.change.pk, "size": "small"},
            "commissioning:chassis-fit": {"code": self.empty_slot.code},
            "commissioning:chassis-withdraw": slot,
            "sums:sum": {"name": "reflection"},
        }
