"""What is still open on the evening of the last site day: queries asked, and a concession given."""

from restoration.kestrel.loading.plan import Cast
from restoration.machine.models import Query
from restoration.machine.records import Result
from restoration.machine.services import answer_query, raise_query
from restoration.proving.models import SignalCheck
from restoration.proving.services import give_concession

ASKED = (
    (
        "Pilar",
        "design",
        "KS-207",
        "Drawing KS-207 issue D: is R12 one watt? The drawing says half, the old unit has one.",
    ),
    ("Sven", "design", "KS-222", "KS-222 shows R9 twice, 47 k and 4.7 k. Which of them is it?"),
)
ANSWERED = (
    "Noor",
    "May the tag strip of the constituent generators be the modern one?",
    "Yes, under the tray where nobody sees it; keep the period strip on top.",
)
CONCESSION = "A little outside its limit, and the stage that takes it triggers cleanly over the whole range of HT."


def leave_loose_ends(cast: Cast) -> None:
    """Ask, answer and accept."""
    for name, kind, code, question in ASKED:
        raise_query(question=question, by=cast[name], subject_kind=kind, subject_code=code)
    name, question, answer = ANSWERED
    asked: Query = raise_query(question=question, by=cast[name])
    answer_query(query=asked, answer=answer, by=cast["Gwen"])
    failed = SignalCheck.objects.filter(result=Result.FAILED, replaced_by=None).order_by("-done_at", "-pk")
    newest = {check.interconnect_id: check for check in SignalCheck.objects.order_by("done_at", "pk")}
    for check in failed:
        link = check.interconnect
        if newest[link.pk] == check and not link.faults.exists() and not link.doubts.exists():
            give_concession(record=check, reason=CONCESSION, by=cast["Gwen"])
            return
