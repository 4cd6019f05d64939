"""Bench against place: all outputs of the machine, and the outputs of one slot with what explains them."""

from itertools import groupby
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404

from restoration.common.lists import narrowed, part_of
from restoration.common.pages import show
from restoration.conditioning.bench_and_place import LinkBeside, compared, explained
from restoration.conditioning.filters import BenchFilter
from restoration.conditioning.models import WiringFit
from restoration.conditioning.reckoning import constants_of
from restoration.machine.models import Interconnect, Slot, Terminal
from restoration.people.access import needs
from restoration.people.roles import Permission

LINKS_SHOWN = 20  # each takes the model a few hundredths of a second


@needs(Permission.SEE_RECORDS)
def bench_list(request: HttpRequest) -> HttpResponse:
    """Every checked link with its amplitude on the bench and in place, the farthest apart first."""
    filter_set = BenchFilter(request.GET, queryset=Interconnect.objects.all(), request=request)
    links = narrowed(filter_set)
    rows, reasons = compared(links.values("pk"))
    context = {
        "filter": filter_set,
        "page_obj": part_of(request, rows),
        "rows": rows,
        "reasons": reasons,
        "unchecked": links.count() - len(rows) - sum(reasons.values()),
        "fit": WiringFit.objects.last(),
    }
    return show(request, "conditioning/bench_list.html", context, fragment="rows")


@needs(Permission.SEE_RECORDS)
def bench_slot(request: HttpRequest, code: str) -> HttpResponse:
    """Each output of a slot on the bench and in place, link by link, with what the model says of the difference."""
    slot = get_object_or_404(Slot.objects.select_related("rack", "design"), code=code)
    links = Interconnect.objects.filter(source__slot=slot).with_ends().order_by("source__code", "code")
    page_obj = part_of(request, links, size=LINKS_SHOWN)
    fit = WiringFit.objects.last()
    rows = explained(page_obj.object_list, constants_of(fit))
    context = {"slot": slot, "page_obj": page_obj, "outputs": _outputs(rows), "rows": rows, "fit": fit, **_said(rows)}
    return show(request, "conditioning/bench_slot.html", context)


def _outputs(rows: list[LinkBeside]) -> list[tuple[Terminal, list[LinkBeside]]]:
    return [
        (group[0].link.source, group)
        for group in (list(each) for _, each in groupby(rows, key=lambda row: row.link.source_id))
    ]


def _said(rows: list[LinkBeside]) -> dict[str, Any]:
    told = [row.explanation for row in rows if row.explanation]
    return {"told": len(told), "explained": sum(each.is_explained for each in told)}
