"""Work a loose sum: its name, then what it asks for as key=value; without a name, list the sums."""

import json
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand

from restoration.common.commands import needs_tables, refuse
from restoration.sums.catalogue import groups, sums
from restoration.sums.declared import Sum
from restoration.sums.telling import as_json, as_text
from restoration.sums.working import work


class Command(BaseCommand):
    """The exit status is 0 where the sum is worked or the sums are listed, and 2 where it is refused."""

    help = __doc__

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("name", nargs="?", help="which sum; without it, all are listed")
        parser.add_argument("given", nargs="*", metavar="key=value", help="what it asks for; none for its example")
        parser.add_argument("--json", action="store_true", help="print for a program")

    @needs_tables
    def handle(self, *args: Any, **options: Any) -> None:
        as_program = options["json"]
        if options["name"] is None:
            self._list(as_program)
            return
        one = sums().get(options["name"])
        if one is None:
            refuse(
                self, [f"There is no sum “{options['name']}”; there are {', '.join(sums())}."], as_program=as_program
            )
        worked = work(one, self._given(options["given"], as_program))
        if worked.answer is None:
            refuse(self, worked.sentences, as_program=as_program)
        self.stdout.write(
            json.dumps(as_json(worked, worked.answer), ensure_ascii=False)
            if as_program
            else as_text(worked, worked.answer)
        )

    def _list(self, as_program: bool) -> None:
        if as_program:
            self.stdout.write(json.dumps({"sums": [_declared(one) for one in sums().values()]}, ensure_ascii=False))
            return
        for group in groups():
            self.stdout.write(group.question)
            for one in group.sums:
                self.stdout.write(f"  {one.slug}: {one.question}")
                self.stdout.write(f"    {' '.join(each.name + '=' for each in one.inputs)}")

    def _given(self, words: list[str], as_program: bool) -> dict[str, str]:
        given: dict[str, str] = {}
        for word in words:
            name, sign, text = word.partition("=")
            if not sign or not name:
                refuse(
                    self, [f"“{word}” was given; write it as key=value, such as length_m=4.6."], as_program=as_program
                )
            if name in given:
                refuse(self, [f"“{name}” was given twice; give it once."], as_program=as_program)
            given[name] = text
        return given


def _declared(one: Sum) -> dict[str, Any]:
    asks = [{"name": each.name, "label": each.label, "optional": each.optional} for each in one.inputs]
    return {"sum": one.slug, "title": one.title, "question": one.question, "asks": asks}
