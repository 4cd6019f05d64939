"""The stores: what is there, each line of it, and what is taken out and put in."""

from django.contrib import messages
from django.db.models import Count, Q, Sum
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse

from restoration.common.acting import answer_form
from restoration.common.lists import narrowed, part_of
from restoration.common.pages import show
from restoration.common.posts import posted
from restoration.logbook.models import Entry
from restoration.people.access import needs, who
from restoration.people.roles import Permission
from restoration.workshop import services
from restoration.workshop.models import StoresLine
from restoration.workshop.stores.filters import StoresFilter
from restoration.workshop.stores.forms import (
    ListForm,
    MoveForm,
    StoresLineEditForm,
    StoresLineForm,
    stores_line_as_stored,
)
from restoration.workshop.stores.reading import COLUMNS, MOST_ROWS, NEEDED, read_list

NEWEST_LINES = 12
FORM = "workshop/stores/form.html"


@needs(Permission.SEE_RECORDS)
def stores_list(request: HttpRequest) -> HttpResponse:
    """What is in the stores, the smallest value first."""
    filter_set = StoresFilter(
        request.GET, queryset=StoresLine.objects.order_by("-kind", "value", "pk"), request=request
    )
    found = narrowed(filter_set)
    context = {
        "filter": filter_set,
        "page_obj": part_of(request, found),
        "counts": found.aggregate(lines=Count("pk"), parts=Sum("quantity"), empty=Count("pk", filter=Q(quantity=0))),
    }
    return show(request, "workshop/stores/list.html", context, fragment="rows")


@needs(Permission.SEE_RECORDS)
def stores_line(request: HttpRequest, pk: int) -> HttpResponse:
    """One line of the stores, and what was done with it."""
    line = get_object_or_404(StoresLine, pk=pk)
    story = Entry.objects.about("stores line", str(pk)).newest_first()[:NEWEST_LINES]
    return show(request, "workshop/stores/line.html", {"line": line, "story": story})


@needs(Permission.KEEP_STORES)
def stores_add(request: HttpRequest) -> HttpResponse:
    """Put parts on the list."""
    form = StoresLineForm(posted(request))

    def act() -> str:
        return services.add_to_stores(part=form.part(), by=who(request)).get_absolute_url()

    return answer_form(request, form, act, FORM)


@needs(Permission.KEEP_STORES)
def stores_bring_in(request: HttpRequest) -> HttpResponse:
    """Put a whole list of parts on the list, wholly or not at all."""
    form = ListForm(posted(request), request.FILES or None)

    def act() -> str:
        stored = services.bring_in_stores(parts=read_list(form.cleaned_data["text"]), by=who(request))
        messages.success(request, f"{len(stored)} lines are on the list of the stores.")
        return reverse("workshop:stores")

    context = {"columns": list(COLUMNS), "needed": NEEDED, "most": MOST_ROWS}
    return answer_form(request, form, act, "workshop/stores/bring_in.html", context)


@needs(Permission.KEEP_STORES)
def stores_edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Write anew what a line holds."""
    line = get_object_or_404(StoresLine, pk=pk)
    form = StoresLineEditForm(posted(request), initial=stores_line_as_stored(line))

    def act() -> str:
        version = form.cleaned_data["version"]
        services.edit_stores_line(line=line, version=version, part=form.part(), by=who(request))
        return line.get_absolute_url()

    return answer_form(request, form, act, FORM, {"line": line}, stored=stores_line_as_stored)


@needs(Permission.KEEP_STORES)
def stores_move(request: HttpRequest, pk: int) -> HttpResponse:
    """Take parts out of a line, or put some in."""
    line = get_object_or_404(StoresLine, pk=pk)
    form = MoveForm(posted(request), initial={"way": "take", "count": 1})

    def act() -> str:
        given = form.cleaned_data
        move = services.take_from_stores if given["way"] == "take" else services.put_into_stores
        move(line=line, count=given["count"], by=who(request), why=given["why"])
        return reverse("workshop:stores-line", args=[pk])

    return answer_form(request, form, act, "workshop/stores/move.html", {"line": line})
