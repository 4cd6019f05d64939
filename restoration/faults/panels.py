"""The fault log on the page of an interconnect."""

from django.http import HttpRequest
from django.template.loader import render_to_string
from django.utils.safestring import SafeString

from restoration.common.panels import add_panel
from restoration.faults.models import Fault
from restoration.faults.reading import as_hours, minutes_lost, with_story
from restoration.machine.models import Interconnect


def fault_log(request: HttpRequest, interconnect: Interconnect) -> SafeString:
    """All its faults, oldest to newest, with the time they cost."""
    faults = list(with_story(Fault.objects.at(interconnect)))
    rows = [(fault, as_hours(minutes_lost([fault]))) for fault in faults]
    context = {"link": interconnect, "rows": rows, "time_lost": as_hours(minutes_lost(faults))}
    return render_to_string("faults/_fault_log.html", context, request)


def log_one(request: HttpRequest, interconnect: Interconnect) -> SafeString:
    """The way to log a fault here."""
    return render_to_string("faults/_log_one.html", {"link": interconnect}, request)


def register() -> None:
    """Put each panel in its place."""
    add_panel("interconnect", order=60, name="fault log", render=fault_log)
    add_panel("interconnect-actions", order=60, name="log a fault", render=log_one)
