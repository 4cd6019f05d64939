"""The history of racks: the gates signed for, and what opens the release for fitting again."""

from collections.abc import Collection, Iterator
from datetime import datetime

from restoration.commissioning.facts.doubts import add_doubts
from restoration.commissioning.facts.history import Histories, History
from restoration.commissioning.facts.judged import add_signed
from restoration.commissioning.facts.known import Known
from restoration.commissioning.facts.rows import PART, Part, parts_of
from restoration.commissioning.gates import RACK_GATES
from restoration.commissioning.gates.racks import OPEN_FOR_FITTING
from restoration.engineering.standing import GOOD, Change
from restoration.machine.models import Rack

ITEM = "rack"
RELEASE = OPEN_FOR_FITTING.code
BEFORE_RELEASE = frozenset(RACK_GATES[: RACK_GATES.index(RELEASE)])


def rack_histories(ids: Collection[int] | None = None, *, now: datetime | None = None) -> Histories:
    """Gather what is recorded of these racks (or of all), in a fixed number of queries."""
    return _gathered(Part(ids), Known.at(now))


def all_rack_histories(*, now: datetime | None = None) -> Iterator[tuple[Part, Histories]]:
    """Gather what is recorded of every rack, part by part."""
    known = Known.at(now)
    for part in parts_of(Rack.objects.values_list("pk", flat=True).order_by("pk"), PART):
        yield part, _gathered(part, known)


def _gathered(part: Part, known: Known) -> Histories:
    histories = Histories()
    add_signed(histories, known, part, ITEM)
    add_doubts(histories, known, part, ITEM)
    histories.settled()
    for history in histories.values():
        _reopen_release(history)
    return histories


def _reopen_release(history: History) -> None:
    """A rack is released over gates that stand: what opens one of them again opens the release."""
    release = frozenset({RELEASE})
    history.changes = [
        Change(change.gates | release, change.at, change.what) if change.gates & BEFORE_RELEASE else change
        for change in history.changes
    ]
    replaced = {record.replaces for record in history.evidence}
    history.changes += [
        Change(release, record.at, record.said)
        for record in history.evidence
        if record.gate in BEFORE_RELEASE and record.state not in GOOD and record.name not in replaced
    ]
