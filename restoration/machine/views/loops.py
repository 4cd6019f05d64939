"""Loops of the wiring, and the order of proving that opens and closes them."""

from django.http import HttpRequest, HttpResponse

from restoration.common.lists import LARGEST_PART, part_of
from restoration.common.pages import show
from restoration.engineering.proving_order import Method
from restoration.machine.proving_order import loops_shown, order_now, own_links_shown, sentence, steps_shown
from restoration.people.access import needs
from restoration.people.roles import Permission


@needs(Permission.SEE_RECORDS)
def loop_list(request: HttpRequest) -> HttpResponse:
    """Which loops there are, where to open them, and in which order to prove every link."""
    kept = order_now()
    page = part_of(request, kept.steps, size=LARGEST_PART)
    loops = loops_shown(kept)
    own = own_links_shown(kept)
    context = {
        "sentence": sentence(kept),
        "kept": kept,
        "layer_count": len(kept.order.layers),
        "loops": loops,
        "more_loops": len(kept.loops) - len(loops),
        "own_links": own,
        "more_own": len(kept.own_links) - len(own),
        "page_obj": page,
        "steps": steps_shown(kept, list(page.object_list), page.start_index()),
        "quick": any(loop.method is Method.QUICK for loop in kept.order.loops),
    }
    return show(request, "machine/loops.html", context, fragment="steps")
