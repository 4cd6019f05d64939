"""Stores the results of a sheet through the services of each record, all of them or none."""

from collections import Counter
from collections.abc import Collection
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction

from restoration.commissioning.models import AgainSheet, Group
from restoration.commissioning.services import sign_gate, worked_out_once
from restoration.commissioning.testing_again.entering import (
    GateRowForm,
    JoinRowForm,
    ResultsForm,
    RingRowForm,
    RowForm,
    SignalRowForm,
)
from restoration.commissioning.testing_again.sheets import show_sheet
from restoration.machine.models import Chassis, Interconnect, Rack
from restoration.machine.records import Result
from restoration.people.models import Person
from restoration.proving.models import Joining
from restoration.proving.models.wire_checks import JoiningKind
from restoration.proving.services import join_wire, record_signal_check, ring_out

ITEMS: dict[str, Any] = {"chassis": Chassis, "rack": Rack, "group": Group}


def store_results(*, sheet: AgainSheet, form: ResultsForm, by: Person) -> Counter[str]:
    """Store every filled-in row in the order of the sheet; return how many came to what result."""
    results: Counter[str] = Counter()
    with transaction.atomic(), worked_out_once():
        _refuse_entered_meanwhile(sheet, form)
        for row in form.filled:
            try:
                results[_store(row, form.cleaned_data, by, sheet)] += 1
            except ValidationError as refused:
                raise ValidationError([f"{row.named}: {sentence}" for sentence in refused.messages]) from refused
    return results


def _refuse_entered_meanwhile(sheet: AgainSheet, form: ResultsForm) -> None:
    """Whoever enters the same sheet at this moment waits for this one, and does not store the same rows again."""
    locked = AgainSheet.objects.select_for_update(of=("self",), no_key=True).get(pk=sheet.pk)
    states = {row.row.check.key: row.state for row in show_sheet(locked).rows}
    changed = [row for row in form.filled if states.get(row.row.row.check.key) != row.row.state]
    if changed:
        raise ValidationError([f"{row.named}: somebody else entered a result at this moment." for row in changed])


def _heading(given: dict[str, Any], by: Person) -> dict[str, Any]:
    return {
        "done_by": given["done_by"],
        "second_person": given["second_person"],
        "entered_by": by,
        "at": given["done_at"],
    }


def _store(row: RowForm, given: dict[str, Any], by: Person, sheet: AgainSheet) -> str:
    heading, check, pk = _heading(given, by), row.row.row.check, row.row.row.pk
    remarks = " ".join(part for part in (row.cleaned_data["remarks"].strip(), f"From sheet {sheet.pk}.") if part)
    if isinstance(row, GateRowForm):
        item = ITEMS[check.kind].objects.get(pk=pk)
        result, seen = row.cleaned_data["result"], row.cleaned_data["seen"]
        sign_gate(kind=check.kind, item=item, gate=check.gate, result=result, seen=seen, remarks=remarks, **heading)
        return str(result)
    link = Interconnect.objects.get(pk=pk)
    if isinstance(row, SignalRowForm):
        return _store_signal(row, link, given, remarks, heading)
    if isinstance(row, RingRowForm):
        figures = {name: row.cleaned_data[name] for name in ("resistance_ohm", "to_chassis_ohm", "both_labels_read")}
        return str(ring_out(interconnect=link, remarks=remarks, **figures, **heading).result)
    if isinstance(row, JoinRowForm):
        join_wire(interconnect=link, kind=JoiningKind.REMADE, remarks=remarks, **heading)
    return str(Result.PASSED)


def _store_signal(
    row: SignalRowForm, link: Interconnect, given: dict[str, Any], remarks: str, heading: dict[str, Any]
) -> str:
    all_loads = row.cleaned_data["all_loads"]
    check = record_signal_check(
        interconnect=link,
        ends=[row.end] if row.end else [],
        instrument=given["instrument"],
        probe_factor=given["probe"],
        probe_compensated=given["probe_compensated"],
        probe_allowed_for=given["probe_allowed_for"],
        loads_joined=all_loads,
        loads_missing="" if all_loads else "not all, by the sheet",
        ht_v=given["ht_v"],
        remarks=remarks,
        **heading,
    )
    return str(check.result)


def links_with_loads_missing(links: Collection[int]) -> frozenset[int]:
    """Of these links, those whose source has a load that the book has as not joined, in two queries."""
    sources = dict(Interconnect.objects.filter(pk__in=links).values_list("pk", "source_id"))
    on_sources = dict(Interconnect.objects.filter(source__in=set(sources.values())).values_list("pk", "source_id"))
    newest = dict(
        Joining.objects.in_force()
        .filter(interconnect__in=on_sources)
        .order_by("done_at", "pk")
        .values_list("interconnect_id", "kind")
    )
    missing = {source for pk, source in on_sources.items() if newest.get(pk, JoiningKind.LIFTED) == JoiningKind.LIFTED}
    return frozenset(pk for pk, source in sources.items() if source in missing)
