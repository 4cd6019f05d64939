"""The log book as pages: the lines newest first, one line with its hash, and a view to print."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404

from restoration.common.lists import LARGEST_PART, PART, narrowed, part_of
from restoration.common.pages import show
from restoration.logbook.filters import EntryFilter
from restoration.logbook.models import Entry
from restoration.people.access import needs
from restoration.people.roles import Permission


@needs(Permission.SEE_RECORDS)
def entry_list(request: HttpRequest) -> HttpResponse:
    """Every line, newest first; ?print=1 gives oldest first, plain, for paper."""
    for_paper = request.GET.get("print") == "1"
    filter_set = EntryFilter(request.GET, queryset=Entry.objects.order_by("number" if for_paper else "-number"))
    part = part_of(request, narrowed(filter_set), size=LARGEST_PART if for_paper else PART)
    context = {"filter": filter_set, "page_obj": part, "paper": _paper(request)}
    template = "logbook/entry_list_for_paper.html" if for_paper else "logbook/entry_list.html"
    return show(request, template, context, fragment="" if for_paper else "rows")


def _paper(request: HttpRequest) -> str:
    """The address of the same list for paper."""
    query = request.GET.copy()
    query.pop("page", None)
    query["print"] = "1"
    return f"{request.path}?{query.urlencode()}"


@needs(Permission.SEE_RECORDS)
def entry_detail(request: HttpRequest, number: int) -> HttpResponse:
    """One line, bound to the one before it."""
    entry = get_object_or_404(Entry, number=number)
    around = {each.number: each for each in Entry.objects.filter(number__in=(number - 1, number + 1))}
    context = {"entry": entry, "before": around.get(number - 1), "after": around.get(number + 1)}
    return show(request, "logbook/entry_detail.html", context)
