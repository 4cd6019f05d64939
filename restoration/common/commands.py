"""What commands have in common: a refusal is a sentence, the exit status 2, and for a program one line of JSON."""

import json
from collections.abc import Callable, Sequence
from functools import wraps
from typing import Any, NoReturn

from django.core.management.base import BaseCommand
from django.db import DatabaseError

from restoration.common.text import shown

REFUSED = 2

Handle = Callable[..., None]


def refuse(command: BaseCommand, sentences: Sequence[str], *, as_program: bool) -> NoReturn:
    """Say why nothing is done, and end with the exit status 2; a program gets `{"refused": [...]}` besides."""
    said = [shown(sentence) for sentence in sentences]
    for sentence in said:
        command.stderr.write(sentence)
    if as_program:
        command.stdout.write(json.dumps({"refused": said}, ensure_ascii=False))
    raise SystemExit(REFUSED)


def no_use(error: DatabaseError) -> str:
    """Say that the database cannot be worked with, and what a new one lacks."""
    said = str(error).strip().splitlines()
    reason = said[0].rstrip(".") if said else type(error).__name__
    return (
        f"The database cannot be worked with: {reason}. If it is new, make its tables first with “manage.py migrate”."
    )


def needs_tables(handle: Handle) -> Handle:
    """Let a command on a database without tables, or without an answer, refuse in a sentence."""

    @wraps(handle)
    def guarded(self: BaseCommand, *args: Any, **options: Any) -> None:
        try:
            handle(self, *args, **options)
        except DatabaseError as error:
            refuse(self, [no_use(error)], as_program=bool(options.get("json")))

    return guarded
