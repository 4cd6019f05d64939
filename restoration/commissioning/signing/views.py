"""Pages on which a gate is signed for, and the record of it."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.utils.text import capfirst, slugify

from restoration.commissioning import services
from restoration.commissioning.gates import TABLES, Gate, gate_of
from restoration.commissioning.models import GateRecord, Group
from restoration.commissioning.reading import recorded_standings, standings_of
from restoration.commissioning.services.signing import PAPER_WANTED
from restoration.commissioning.signing.forms import GateForm
from restoration.commissioning.signing.order import why_not_passed
from restoration.commissioning.signing.rows import sign_address
from restoration.common.acting import answer_form
from restoration.common.pages import show
from restoration.common.posts import posted
from restoration.engineering.standing import Standing
from restoration.machine.models import Chassis, Rack
from restoration.people.access import needs, require, who
from restoration.people.roles import Permission
from restoration.proving.services.headings import named
from restoration.proving.views.acts import to_be_corrected


@needs(Permission.SEE_RECORDS)
def gate_list(request: HttpRequest) -> HttpResponse:
    """Every gate, its evidence, who may sign and what opens it again."""
    names = {"chassis": "A chassis", "interconnect": "An interconnect", "rack": "A rack", "group": "A group"}
    tables = [(names[kind], table) for kind, table in TABLES.items()]
    return show(request, "commissioning/gates.html", {"tables": tables})


@needs(Permission.SEE_RECORDS)
def gate_sign(request: HttpRequest, kind: str, code: str, gate: str) -> HttpResponse:
    """Sign for a gate of a chassis, a rack or a group; who may depends on the gate."""
    signed = _signed_gate(kind, gate)
    item = load_item(kind, code)
    me = who(request)
    require(me, signed.signed_by)
    replaces = to_be_corrected(request, GateRecord, **{kind: item}, gate=signed.code)
    form = GateForm(posted(request), me=me, gate=signed, replaces=replaces)
    noun, painted = named(item)

    def act() -> str:
        record = services.sign_gate(kind=kind, item=item, gate=signed.code, **form.facts(), **form.heading())
        messages.success(request, f"Recorded: “{signed.code}” of {noun} {painted}. Result: {record.result}.")
        return str(item.get_absolute_url())

    context = {
        "gate": signed,
        "item": item,
        "noun": noun,
        "painted": painted,
        "replaces": replaces,
        "standing": next(s for s in standings_of(kind, [item.pk])[item.pk] if s.gate == signed.code),
        "problems": why_not_passed(kind, item, signed.code, timezone.now()),
        "at_the_rack": _rack_beside(item) if kind == "chassis" else None,
        "is_paper_only": signed.code in PAPER_WANTED,
    }
    return answer_form(request, form, act, "commissioning/gate_sign.html", context)


@needs(Permission.SEE_RECORDS)
def gate_record(request: HttpRequest, pk: int) -> HttpResponse:
    """One gate as it was signed for, and what became of the record."""
    rows = GateRecord.objects.with_people().select_related("chassis", "rack", "group", "replaces", "replaced_by")
    record = get_object_or_404(rows, pk=pk)
    gate = gate_of(record.kind, record.gate)
    noun, painted = named(record.item)
    may_correct = gate is not None and who(request).may(gate.signed_by) and not hasattr(record, "replaced_by")
    context = {
        "record": record,
        "item": record.item,
        "noun": noun,
        "painted": painted,
        "correct_at": f"{sign_address(record.kind, painted, record.gate)}?replaces={record.pk}" if may_correct else "",
        "is_paper_only": record.gate in PAPER_WANTED,
    }
    return show(request, "commissioning/gate_record.html", context)


def load_item(kind: str, code: str) -> Any:
    """Find the chassis, rack or group that a gate is signed for."""
    if kind == "chassis":
        return get_object_or_404(Chassis.objects.select_related("design"), serial=code)
    return get_object_or_404(Rack if kind == "rack" else Group, code=code)


def _signed_gate(kind: str, slug: str) -> Gate:
    signed = [gate for gate in TABLES.get(kind, ()) if gate.is_signed and slugify(gate.code) == slug]
    if not signed:
        raise Http404(f"There is no gate “{slug}” of a {capfirst(kind)} to sign for.")
    return signed[0]


def _rack_beside(chassis: Chassis) -> tuple[Rack, list[Standing]] | None:
    """The rack a chassis is fitted in, and those of its power gates that do not stand."""
    fitting = chassis.fitting_now
    rack = fitting.slot.rack if fitting else None
    if rack is None:
        return None
    left = [s for s in recorded_standings("rack", [rack.pk])[rack.pk] if not s.is_good and s.gate != "soaked"]
    return (rack, left) if left else None
