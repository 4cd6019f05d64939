"""manage.py propose_for_link CODE: what can be fitted on a link, the best first."""

import json
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand

from restoration.common.commands import needs_tables, refuse
from restoration.conditioning.commanded import known_link, told_of_known
from restoration.conditioning.page import BENCH, PLACE, LinkInPlace, added_words, in_place
from restoration.conditioning.proposing import COUNT, limits_of
from restoration.engineering.in_place import Predicted
from restoration.engineering.in_place.proposals import Proposal, Proposals
from restoration.proving.quantities import reads

FIGURES = ("amplitude", "pulse_duration", "rise_time", "fall_time", "overshoot", "undershoot")


class Command(BaseCommand):
    """Ranks what can be fitted; exit status 0 where something meets every limit, 1 where nothing does."""

    help = "Ranks reversible parts for a link, from the stores and from preferred values, each with what it does."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("code", help="the code of the link")
        parser.add_argument("--count", type=int, default=COUNT, help=f"how many, {COUNT} unless said otherwise")
        parser.add_argument("--level", choices=(BENCH, PLACE), default="", help="what the level of the source rests on")
        parser.add_argument("--json", action="store_true", help="print one JSON document, in SI units")

    @needs_tables
    def handle(self, *args: Any, **options: Any) -> None:
        as_program = bool(options["json"])
        try:
            page, found = self._found(options)
        except ValueError as refused:
            refuse(self, [str(refused)], as_program=as_program)
        is_met = found.as_it_is.met or any(proposal.met for proposal in found.proposals)
        if as_program:
            self.stdout.write(json.dumps(as_json(page, found), ensure_ascii=False, allow_nan=False))
        else:
            self._tell(page, found)
        raise SystemExit(0 if is_met else 1)

    def _found(self, options: dict[str, Any]) -> tuple[LinkInPlace, Proposals]:
        known = known_link(options["code"])
        page = in_place(known, basis=options["level"])
        if not limits_of(known):
            code = known.link.code
            raise ValueError(f"No limit is stated for the signal of link {code}, so nothing says what is better.")
        return page, page.proposed(options["count"])

    def _tell(self, page: LinkInPlace, found: Proposals) -> None:
        self.stdout.write(found.as_it_is.words)
        for place, proposal in enumerate(found.proposals, 1):
            after = proposal.after.load
            met = "meets every limit" if proposal.met else "misses: " + "; ".join(proposal.missed)
            figures = f"{reads('amplitude', after.amplitude_v)}, overshoot {reads('overshoot', after.overshoot)}"
            self.stdout.write(f"{place}. {added_words(proposal)}: {figures}; {met}")
        for sentence in found.words:
            self.stdout.write(sentence)
        self.stdout.write("Advice: verify by measurement.")


def as_json(page: LinkInPlace, found: Proposals) -> dict[str, Any]:
    """Proposals for a program: SI units, stable keys."""
    return {
        **told_of_known(page.known),
        "level_from": page.basis,
        "as_it_is": {
            "arrangement": found.as_it_is.arrangement.as_dict(),
            "met": found.as_it_is.met,
            "missed": list(found.as_it_is.missed),
            "load": _figures(found.as_it_is.predicted),
        },
        "proposals": [_proposal(proposal) for proposal in found.proposals],
        "words": list(found.words),
    }


def _figures(predicted: Predicted) -> dict[str, float | None]:
    return {name: predicted.load.get(name) for name in FIGURES}


def _proposal(proposal: Proposal) -> dict[str, Any]:
    return {
        "arrangement": proposal.arrangement.as_dict(),
        "met": proposal.met,
        "met_at_worst": proposal.met_at_worst,
        "missed": list(proposal.missed),
        "load": _figures(proposal.after),
        "amplitude_low_v": proposal.amplitude_low_v,
        "amplitude_high_v": proposal.amplitude_high_v,
        "drive_share": proposal.drive_share,
        "parts": [
            {
                "role": use.role,
                "kind": use.offer.kind,
                "value": use.offer.value,
                "tolerance": use.offer.tolerance,
                "where": use.offer.where,
                "key": use.offer.key,
                "watts": use.watts,
                "volts": use.volts,
            }
            for use in proposal.parts
        ],
        "others": [
            {"code": each.code, "load": _figures(each.after), "newly_missed": list(each.newly)}
            for each in proposal.others
        ],
        "check_afterwards": list(proposal.check_afterwards),
        "undone_how": proposal.undone_how,
    }
