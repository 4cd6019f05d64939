"""How predictions held: the open account of what was foretold and what was measured afterwards."""

from django.http import HttpRequest, HttpResponse

from restoration.common.lists import part_of
from restoration.common.pages import show
from restoration.conditioning.scoring import ScatterDrawing, scores_now
from restoration.people.access import needs
from restoration.people.roles import Permission

WORST = "worst"


@needs(Permission.SEE_RECORDS)
def scores(request: HttpRequest) -> HttpResponse:
    """Every prediction that was answered, with the sum of it."""
    found = scores_now()
    worst_first = request.GET.get("order") == WORST
    context = {
        "found": found,
        "worst_first": worst_first,
        "page_obj": part_of(request, found.in_order(worst_first=worst_first)),
        "drawing": ScatterDrawing.of(found.scores),
    }
    return show(request, "conditioning/scores.html", context, fragment="rows")
