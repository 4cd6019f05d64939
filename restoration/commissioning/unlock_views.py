"""Which one missing thing would open most: for the machine, and for a rack."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404

from restoration.commissioning.unlocking import SHOWN, sentence, what_opens_most
from restoration.common.pages import show
from restoration.engineering.unlock import CRITICAL_WEIGHT
from restoration.machine.models import Rack
from restoration.people.access import needs
from restoration.people.roles import Permission


@needs(Permission.SEE_RECORDS)
def unlock(request: HttpRequest) -> HttpResponse:
    """What one thing would open most on the whole machine."""
    return _page(request, None)


@needs(Permission.SEE_RECORDS)
def unlock_rack(request: HttpRequest, code: str) -> HttpResponse:
    """What one thing would open most for the links of one rack."""
    return _page(request, get_object_or_404(Rack, code=code))


def _page(request: HttpRequest, rack: Rack | None) -> HttpResponse:
    openers = what_opens_most(rack)
    context = {
        "rack": rack,
        "racks": Rack.objects.in_order(),
        "openers": openers,
        "left_out": max(0, openers.thing_count - SHOWN),
        "sentence": sentence(openers, f"rack {rack.code}" if rack else "the machine"),
        "critical_weight": CRITICAL_WEIGHT,
    }
    return show(request, "commissioning/unlock.html", context)
