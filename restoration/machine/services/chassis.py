"""Writing down physical units."""

from django.db import transaction

from restoration.common.versions import save_version
from restoration.logbook.services import write_line
from restoration.machine.events import tell_facts_changed
from restoration.machine.models import Chassis, Design, DesignIssue
from restoration.machine.services.saving import refuse, stored, who
from restoration.people.models import Person


@transaction.atomic
def add_chassis(
    *,
    serial: str,
    design: Design,
    by: Person | None,
    issue: DesignIssue | None = None,
    builder: Person | None = None,
    remarks: str = "",
) -> Chassis:
    """Put a physical unit on the list, by the serial stamped on it."""
    _refuse_another_drawing(design, issue)
    taken = {"serial": f"There is a chassis {serial} already; a serial is stamped once."}
    row = Chassis(serial=serial, design=design, issue=issue, builder=builder, remarks=remarks)
    chassis = stored(row, taken=taken)
    whose = f", with {builder}" if builder else ""
    _line(
        "chassis added", f"{who(by)} put chassis {serial} on the list, to drawing {design.number}{whose}.", serial, by
    )
    tell_facts_changed(chassis=[chassis.pk])
    return chassis


@transaction.atomic
def edit_chassis(
    *, chassis: Chassis, version: int, remarks: str, issue: DesignIssue | None, by: Person | None
) -> Chassis:
    """Write remarks and the issue it was built to anew; refused if someone else did so meanwhile."""
    _refuse_another_drawing(chassis.design, issue)
    issue_before = chassis.issue_id
    save_version(chassis, version=version, remarks=remarks, issue=issue)
    built_to = f", and that it is built to issue {issue.letter}" if issue and issue.pk != issue_before else ""
    sentence = f"{who(by)} wrote anew the remarks on chassis {chassis.serial}{built_to}."
    _line("chassis edited", sentence, chassis.serial, by)
    tell_facts_changed(chassis=[chassis.pk])
    return chassis


def _refuse_another_drawing(design: Design, issue: DesignIssue | None) -> None:
    if issue and issue.design_id != design.pk:
        raise refuse(f"{issue} is an issue of another drawing than {design.number}.", field="issue")


def _line(act: str, sentence: str, serial: str, by: Person | None) -> None:
    write_line(act=act, sentence=sentence, by=by, subject_kind="chassis", subject_code=serial)
