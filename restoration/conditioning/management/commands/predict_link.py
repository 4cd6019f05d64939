"""manage.py predict_link CODE: what is to be expected on a link, with its limits and the interval of each figure."""

import json
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand

from restoration.common.commands import needs_tables, refuse
from restoration.conditioning.commanded import as_arguments, known_link, read_parts, told_of_known
from restoration.conditioning.page import BENCH, PLACE, LinkInPlace, in_place
from restoration.proving.quantities import limit_reads, reads, words


class Command(BaseCommand):
    """Predicts a link as it is, or with other parts; exit status 0 where its limits are met, 1 where not."""

    help = "Predicts what a link shows at both ends, with the interval that should hold nine of ten measurements."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("code", help="the code of the link")
        parser.add_argument("--level", choices=(BENCH, PLACE), default="", help="what the level of the source rests on")
        parser.add_argument("--json", action="store_true", help="print one JSON document, in SI units")
        as_arguments(parser)

    @needs_tables
    def handle(self, *args: Any, **options: Any) -> None:
        as_program = bool(options["json"])
        try:
            known = known_link(options["code"])
            page = in_place(known, basis=options["level"], choice=read_parts(options))
        except ValueError as refused:
            refuse(self, [str(refused)], as_program=as_program)
        if as_program:
            self.stdout.write(json.dumps(as_json(page), ensure_ascii=False, allow_nan=False))
        else:
            self._tell(page)
        raise SystemExit(int(bool((page.chosen or page.now).missed(known.limits))))

    def _tell(self, page: LinkInPlace) -> None:
        foreseen = page.chosen or page.now
        self.stdout.write(page.lead)
        self.stdout.write(f"With {foreseen.case.arrangement.words}:")
        for (end, quantity), told in foreseen.figures.items():
            limit = page.known.limits.get(quantity) if end == "load" else None
            wanted = f", limit {limit_reads(limit)}" if limit else ""
            between = f"{reads(quantity, told.low)} to {reads(quantity, told.high)}"
            self.stdout.write(f"  {end} {words(quantity)}: {reads(quantity, told.value)} ({between}){wanted}")
        for sentence in page.known.assumed:
            self.stdout.write(f"Assumed: {sentence}")
        self.stdout.write("Advice: verify by measurement.")


def as_json(page: LinkInPlace) -> dict[str, Any]:
    """A prediction for a program: SI units, stable keys."""
    foreseen = page.chosen or page.now
    missed = {limit.quantity for limit in foreseen.missed(page.known.limits)}
    return {
        **told_of_known(page.known),
        "level_from": page.basis,
        "arrangement": foreseen.case.arrangement.as_dict(),
        "peak_drive_a": foreseen.predicted.peak_drive_a,
        "warnings": list(foreseen.predicted.warnings),
        "met": not missed if page.known.limits else None,
        "figures": [
            {
                "end": end,
                "quantity": quantity,
                "value": told.value,
                "low": told.low,
                "high": told.high,
                "missed": quantity in missed and end == "load",
            }
            for (end, quantity), told in foreseen.figures.items()
        ],
    }
