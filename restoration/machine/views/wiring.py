"""The wire list, and each interconnect drawn from its source to its loads."""

from dataclasses import dataclass
from typing import Any

from django.db.models import Prefetch
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse

from restoration.common.lists import narrowed, part_of
from restoration.common.pages import show
from restoration.common.posts import posted
from restoration.machine import services
from restoration.machine.filters import InterconnectFilter
from restoration.machine.forms.wiring import InterconnectEditForm, InterconnectForm, interconnect_as_stored
from restoration.machine.marks import GateMark, Marks, marks_for, one_mark
from restoration.machine.models import Chassis, Fitting, Interconnect, Signal, Terminal
from restoration.machine.views.form_page import FormPage, answer_on_page
from restoration.machine.views.wire_kinds import wire_of
from restoration.people.access import needs, who
from restoration.people.roles import Permission

LOADS_DRAWN = 60
SOURCES_TOLD = 12


@dataclass(frozen=True)
class LinkRow:
    """One interconnect in a list."""

    link: Interconnect
    gates: list[GateMark]

    @property
    def standing(self) -> str:
        """One mark for the whole link."""
        return one_mark(self.gates)


def link_rows(links: list[Interconnect]) -> list[LinkRow]:
    """Interconnects with their marks, in one read of marks."""
    marks = marks_for(interconnect_ids=[link.pk for link in links])
    return [LinkRow(link, marks.of_interconnect(link.pk)) for link in links]


@needs(Permission.SEE_RECORDS)
def interconnect_list(request: HttpRequest) -> HttpResponse:
    links = Interconnect.objects.with_ends().order_by("code")
    filter_set = InterconnectFilter(request.GET, queryset=links, request=request)
    page_obj = part_of(request, narrowed(filter_set))
    query = request.GET.copy()
    query.pop("page", None)
    context = {
        "filter": filter_set,
        "page_obj": page_obj,
        "rows": link_rows(list(page_obj)),
        "query": query.urlencode(),
    }
    return show(request, "machine/interconnect_list.html", context, fragment="rows")


@dataclass(frozen=True)
class DrawnEnd:
    """One end as it is drawn: terminal, what stands in its slot, and a mark."""

    terminal: Terminal
    chassis: Chassis | None
    standing: str
    label: str
    link: Interconnect
    is_this: bool = False


@needs(Permission.SEE_RECORDS)
def interconnect_detail(request: HttpRequest, code: str) -> HttpResponse:
    link = get_object_or_404(Interconnect.objects.with_ends(), code=code)
    siblings = drawn_siblings(link)
    marks = marks_for(
        chassis_ids=[chassis.pk for each in siblings for chassis in (_in(each.source), _in(each.load)) if chassis],
        interconnect_ids=[each.pk for each in siblings],
    )
    gates = marks.of_interconnect(link.pk)
    load_count = Interconnect.objects.with_same_source(link).count()
    context = {
        "interconnect": link,
        "gates": gates,
        "standing": one_mark(gates),
        "is_lifted": any(mark.standing == "withdrawn" for mark in gates),
        "source": _source_end(siblings[0].source, link, marks),
        "loads": [_load_end(each, link, marks) for each in siblings],
        "wire": wire_of(link),
        "load_count": load_count,
        "more_loads": load_count - len(siblings),
        "sources": sources_of(link.signal) if link.signal else None,
        "changes": link.changes.select_related("changed_by").order_by("-changed_at", "-pk")[:10],
    }
    return show(request, "machine/interconnect_detail.html", context)


def drawn_siblings(link: Interconnect) -> list[Interconnect]:
    """This link and the others on its source, itself first, with what is fitted at each end."""
    standing = Prefetch(
        "fittings", queryset=Fitting.objects.standing().select_related("chassis"), to_attr="standing_fittings"
    )
    paths = [f"{end}__slot__{standing.prefetch_through}" for end in ("source", "load")]
    prefetches = [Prefetch(path, queryset=standing.queryset, to_attr=standing.to_attr) for path in paths]
    on_source = Interconnect.objects.with_same_source(link).with_ends().prefetch_related(*prefetches)
    others = list(on_source.exclude(pk=link.pk).order_by("load__slot__code", "load__code")[: LOADS_DRAWN - 1])
    return [on_source.get(pk=link.pk), *others]


def _in(terminal: Terminal) -> Chassis | None:
    fittings: list[Fitting] = terminal.slot.standing_fittings  # type: ignore[attr-defined]
    return fittings[0].chassis if fittings else None


def _source_end(terminal: Terminal, link: Interconnect, marks: Marks) -> DrawnEnd:
    chassis = _in(terminal)
    standing = one_mark(marks.of_chassis(chassis.pk)) if chassis else "void"
    label = f"chassis {chassis.serial}: {standing}" if chassis else "nothing fitted"
    return DrawnEnd(terminal, chassis, standing, label, link)


def _load_end(each: Interconnect, link: Interconnect, marks: Marks) -> DrawnEnd:
    standing = one_mark(marks.of_interconnect(each.pk))
    return DrawnEnd(
        each.load, _in(each.load), standing, f"link {each.code}: {standing}", each, is_this=each.pk == link.pk
    )


@dataclass(frozen=True)
class Sources:
    """The terminals a signal comes from: the first of them, and how many there are."""

    first: list[Terminal]
    count: int

    @property
    def more(self) -> int:
        """How many are not named."""
        return self.count - len(self.first)


def sources_of(signal: Signal) -> Sources:
    """Where a signal comes from; several sources are allowed, and told."""
    terminals = Terminal.objects.filter(driving__signal=signal).distinct()
    first = terminals.select_related("slot").order_by("slot__code", "code")[:SOURCES_TOLD]
    return Sources(list(first), terminals.count())


@needs(Permission.EDIT_MACHINE)
def interconnect_add(request: HttpRequest) -> HttpResponse:
    form = InterconnectForm(posted(request))

    def act() -> str:
        facts: dict[str, Any] = form.facts()
        link = services.add_interconnect(code=form.cleaned_data["code"], by=who(request), **facts)
        return link.get_absolute_url()

    lead = "A link is one wire, from the terminal that drives it to one that it drives."
    page = FormPage("Add a link", "Add the link", reverse("machine:interconnect-list"), lead)
    return answer_on_page(request, form, act, page)


@needs(Permission.EDIT_MACHINE)
def interconnect_edit(request: HttpRequest, code: str) -> HttpResponse:
    link = get_object_or_404(Interconnect.objects.with_ends(), code=code)
    form = InterconnectEditForm(posted(request), initial=interconnect_as_stored(link))

    def act() -> str:
        version = form.cleaned_data["version"] or link.version
        services.edit_interconnect(interconnect=link, version=version, by=who(request), **form.facts())
        return link.get_absolute_url()

    page = FormPage(
        f"Edit link {link.code}",
        "Store it",
        link.get_absolute_url(),
        f"From {link.source} to {link.load}; the log book keeps what was written before.",
        note="A change of an end, the wire, its length or its loom puts earlier checks of the link in doubt.",
    )
    return answer_on_page(request, form, act, page, stored=interconnect_as_stored)
