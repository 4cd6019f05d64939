"""Writing down what the wires of the wire list are."""

import math
from copy import copy
from dataclasses import dataclass

from django.core.exceptions import ValidationError
from django.db import transaction

from restoration.common.versions import save_version
from restoration.logbook.services import write_line
from restoration.machine.lines import constants_of, wire_in_words
from restoration.machine.models import WireForm, WireKind
from restoration.machine.services.saving import checked, refuse, stored, who
from restoration.people.models import Person

LARGEST_M = 1.0  # across a wire or a screen, or over the metal; beyond it a slip is taken for granted
LARGEST_PERMITTIVITY = 100.0


@dataclass(frozen=True)
class WireGiven:
    """What a kind of wire is: how it lies, how thick its conductor is, how far from what carries its current back."""

    form: str
    conductor_m: float
    spacing_m: float
    permittivity: float = 1.0
    remarks: str = ""


@transaction.atomic
def add_wire_kind(*, name: str, given: WireGiven, by: Person | None) -> WireKind:
    """Put a kind of wire on the list, by the name that the wire list gives it."""
    taken = {"name": f"There is a kind of wire called {name} already; a name is used once."}
    kind = WireKind(name=name, **vars(given))
    _refuse_nonsense(kind)
    stored(kind, taken=taken)
    _write(kind, by, "wire kind added", "put the wire {} on the list")
    return kind


@transaction.atomic
def edit_wire_kind(*, kind: WireKind, version: int, given: WireGiven, by: Person | None) -> WireKind:
    """Write anew what a kind of wire is; refused if someone else did so meanwhile. Its name stays."""
    before = {name: getattr(kind, name) for name in vars(given)}
    would_be = copy(kind)
    for name, value in vars(given).items():
        setattr(would_be, name, value)
    _refuse_nonsense(would_be)
    checked(would_be)
    save_version(kind, version=version, **vars(given))
    _write(kind, by, "wire kind changed", "wrote anew what the wire {} is", {"before": before, "now": vars(given)})
    return kind


def _refuse_nonsense(kind: WireKind) -> None:
    if kind.form not in WireForm.values:
        forms = ", ".join(WireForm.labels)
        raise refuse(f"“{kind.form}” is no form of a wire; a wire is one of these: {forms}.", field="form")
    for name, words in (("conductor_m", "diameter of a conductor"), ("spacing_m", "distance")):
        given = getattr(kind, name)
        if not math.isfinite(given) or not 0 < given <= LARGEST_M:
            raise refuse(
                f"{given * 1e3:g} mm was given; the {words} is above 0 and at most {LARGEST_M * 1e3:g} mm.", field=name
            )
    if not math.isfinite(kind.permittivity) or not 1 <= kind.permittivity <= LARGEST_PERMITTIVITY:
        raise refuse(
            f"A permittivity of {kind.permittivity:g} was given; it is 1 for air and at most "
            f"{LARGEST_PERMITTIVITY:g}, relative to it.",
            field="permittivity",
        )
    try:
        constants_of(kind)
    except ValueError as wrong:
        raise ValidationError({"spacing_m": str(wrong)}) from wrong


def _write(
    kind: WireKind, by: Person | None, act: str, did: str, details: dict[str, dict[str, object]] | None = None
) -> None:
    sentence = f"{who(by)} {did.format(kind.name)}: {wire_in_words(kind)}."
    write_line(act=act, sentence=sentence, by=by, subject_kind="wire kind", subject_code=kind.name, details=details)
