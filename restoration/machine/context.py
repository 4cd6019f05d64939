"""What the title block at the foot of every page says."""

from typing import Any

from django.http import HttpRequest
from django.utils import timezone

from restoration.logbook.services import head
from restoration.machine.models import Machine


def title_block(request: HttpRequest) -> dict[str, Any]:
    """Name of the machine, head of the log book, and the moment; read only where a page shows them."""

    def short_head() -> str:
        entry = head()
        return f"{entry.hash[:4]} {entry.hash[4:8]}" if entry else "empty"

    def machine_name() -> str:
        machine = Machine.objects.first()
        return machine.name if machine else "Unnamed machine"

    return {"machine_name": machine_name, "logbook_head": short_head, "as_at": timezone.now}
