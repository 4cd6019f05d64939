"""Writing down what a design says of its inside: its stages, and the terminals that lead into and out of them."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import Any

from django.db import transaction

from restoration.logbook.services import write_line
from restoration.machine.models import Design, Stage, StagePort, Way
from restoration.machine.services.saving import checked, refuse, stored, who
from restoration.people.models import Person


@dataclass(frozen=True)
class StageGiven:
    """A stage as its drawing shows it; inputs and outputs are the marks of terminals."""

    name: str
    is_barrier: bool = False
    parts: str = ""
    inputs: tuple[str, ...] = ()
    outputs: tuple[str, ...] = ()


@transaction.atomic
def set_stages(*, design: Design, stages: Sequence[StageGiven], by: Person | None) -> list[Stage]:
    """Write down, in place of what stood there, all the stages of a design.

    Without any the whole chassis is one stage that restores nothing. A stage that keeps its name stays the same stage,
    so that what was recorded on it still names it.
    """
    _refuse_nonsense(stages)
    design = Design.objects.select_for_update(no_key=True).get(pk=design.pk)
    before = {row.name: row for row in design.stages.prefetch_related("ports")}
    told = {"before": [asdict(_as_given(row)) for row in before.values()], "now": [asdict(stage) for stage in stages]}
    design.stages.exclude(name__in=[stage.name for stage in stages]).delete()
    rows = [_store(design, stage, before.get(stage.name)) for stage in stages]
    sentence = f"{who(by)} set {_counted(stages)} for drawing {design.number}."
    write_line(
        act="stages set", sentence=sentence, by=by, subject_kind="design", subject_code=design.number, details=told
    )
    return rows


def stages_of(design: Design) -> list[StageGiven]:
    """The stages of a design as they were given, in their order."""
    return [_as_given(row) for row in design.stages.prefetch_related("ports")]


def _as_given(row: Stage) -> StageGiven:
    ports = [(port.way, port.terminal) for port in row.ports.all()]
    inputs, outputs = (tuple(mark for way, mark in ports if way == wanted) for wanted in (Way.IN, Way.OUT))
    return StageGiven(row.name, row.is_barrier, row.parts, inputs, outputs)


def _refuse_nonsense(stages: Sequence[StageGiven]) -> None:
    twice = _twice([stage.name for stage in stages])
    if twice:
        raise refuse(f"Two stages are called “{twice[0]}”; each stage of a design has a name of its own.")
    for stage in stages:
        for way, marks in (("input", stage.inputs), ("output", stage.outputs)):
            if again := _twice(marks):
                raise refuse(f"Stage “{stage.name}” names terminal {again[0]} twice as an {way}; name it once.")


def _twice(names: Sequence[str]) -> list[str]:
    return [name for name, count in Counter(names).items() if count > 1]


def _store(design: Design, given: StageGiven, known: Stage | None) -> Stage:
    facts: dict[str, Any] = {"is_barrier": given.is_barrier, "parts": given.parts}
    if known is None:
        row = stored(Stage(design=design, name=given.name, **facts))
    else:
        row = known
        row.is_barrier, row.parts = given.is_barrier, given.parts
        checked(row).save(update_fields=list(facts))
        StagePort.objects.filter(stage=row).delete()
    for way, marks in ((Way.IN, given.inputs), (Way.OUT, given.outputs)):
        for mark in marks:
            stored(StagePort(stage=row, terminal=mark, way=way))
    return row


def _counted(stages: Sequence[StageGiven]) -> str:
    if not stages:
        return "no stages"
    names = ", ".join(f"{stage.name} (barrier)" if stage.is_barrier else stage.name for stage in stages)
    return f"{len(stages)} stage{'' if len(stages) == 1 else 's'}, {names},"
