"""Every command on a database that has no tables yet: a sentence, the exit status 2, and JSON for a program."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from django.conf import settings

COMMANDS = [
    ["readiness"],
    ["recompute_standing"],
    ["recompute_standing", "--check"],
    ["verify_logbook"],
    ["export_wire_list", "list.csv"],
    ["invite", "Ama", "ama@kestrelsands.example", "--role", "site lead"],
]


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_a_database_without_tables_is_refused_in_a_sentence(words: list[str], tmp_path: Path) -> None:
    place = {"DATABASE_URL": f"sqlite:///{tmp_path}/new.sqlite3", "DATA_DIR": str(tmp_path)}
    command = [sys.executable, str(settings.BASE_DIR / "manage.py"), *words, "--json"]
    done = subprocess.run(
        command, env={**os.environ, **place}, cwd=tmp_path, capture_output=True, text=True, check=False
    )
    assert done.returncode == 2, done.stderr
    (sentence,) = json.loads(done.stdout)["refused"]
    assert sentence.startswith("The database cannot be worked with: no such table: ")
    assert sentence.endswith(". If it is new, make its tables first with “manage.py migrate”.")
    assert done.stderr.strip() == sentence
