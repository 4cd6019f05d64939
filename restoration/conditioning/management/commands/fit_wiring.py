"""manage.py fit_wiring: what the records of the site say of its wires and drives, and taking that into use."""

import json
from argparse import ArgumentParser
from typing import Any

from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand

from restoration.common.commands import needs_tables, refuse
from restoration.conditioning.fitting import FEWEST, SiteFit, fit_of
from restoration.conditioning.recording import Recorded, recorded
from restoration.conditioning.services.constants import store_fit
from restoration.conditioning.shown_constants import ShownFit

NOTHING = 1


class Command(BaseCommand):
    """Fits the wiring constants; exit status 0 where there is a fit, 1 where too few records tell anything."""

    help = "Fits capacitance, inductance and drive resistance to the signal checks of the site."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--use", action="store_true", help="predict with these constants from now on")
        parser.add_argument("--json", action="store_true", help="print one JSON document, in SI units")

    @needs_tables
    def handle(self, *args: Any, **options: Any) -> None:
        as_program = bool(options["json"])
        found = recorded()
        try:
            fitted = fit_of(found)
        except ValueError as too_few:
            self._nothing(found, str(too_few), as_program)
            raise SystemExit(NOTHING) from None
        try:
            used = store_fit(fitted, by=None).pk if options["use"] else None
        except ValidationError as refused:
            refuse(self, refused.messages, as_program=as_program)
        if as_program:
            self._print(as_json(fitted, used))
        else:
            self._tell(fitted, used)

    def _nothing(self, found: Recorded, says: str, as_program: bool) -> None:
        if as_program:
            told = {"fitted": False, "record_count": len(found.taken), "needed": FEWEST, "left_out": found.reasons}
            self._print({**told, "says": says})
        else:
            self.stdout.write(says)

    def _print(self, told: dict[str, Any]) -> None:
        self.stdout.write(json.dumps(told, ensure_ascii=False, allow_nan=False))

    def _tell(self, fitted: SiteFit, used: int | None) -> None:
        shown = ShownFit(fitted.told())
        self.stdout.write(f"Fitted from {fitted.constants.record_count} signal checks.")
        if fitted.not_taken:
            self.stdout.write(f"{fitted.not_taken} older ones were not taken.")
        for reason, count in shown.left_out:
            self.stdout.write(f"Left out, since {reason}: {count}.")
        for row in shown.wires:
            self.stdout.write(f"  wire, {row.name}: {row.capacitance}, {row.inductance}; a line of {row.line}")
        self.stdout.write(f"  drives: {shown.drive.words} times the drawing; they differ by {shown.drive_spread}")
        for words, _ in shown.wild:
            self.stdout.write(words)
        in_use = f"In use from now on as wiring constants {used}." if used else "Not taken into use; --use does that."
        self.stdout.write(f"{in_use} Advice: verify by measurement.")


def as_json(fitted: SiteFit, used: int | None) -> dict[str, Any]:
    """A fit for a program: SI units, stable keys."""
    shown, constants = ShownFit(fitted.told()), fitted.constants
    return {
        "fitted": True,
        "used_as": used,
        "record_count": constants.record_count,
        "older_records": fitted.not_taken,
        "left_out": fitted.left_out,
        "constants": [vars(row) for row in constants.rows()],
        "drives": [
            {"drive": row.name, "factor": row.spread.value, "low": row.spread.low, "high": row.spread.high}
            for row in shown.drives
        ],
        "scatter": {quantity.value: value for quantity, value in constants.scatter.items()},
        "wild": [{"check": check, "says": words} for words, check in shown.wild],
    }
