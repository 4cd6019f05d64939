"""Wire lists for the tests, and a count of all that the database holds."""

from django.apps import apps

from restoration.engineering.wire_list.headings import COLUMNS
from tests.engineering.wire_list.making import text_list

AWKWARD = [
    "A+B", "+120 V", "-12 V", "#3", "~CLK", "TT/7", "=Q1", "@HOME", "'quoted'", "'=x", "=cmd|' /C x'!A0", 'say "go"',
    "two  spaces", "Ж-7", "東/1", "اب", "e\u0301", "a,b", "a;b", "_x0041_", "\\", "7.0", "007", "1e5", "TRUE", "<b>",
]  # fmt: skip


def wires(*rows: dict[str, object]) -> bytes:
    """A list with every column, from rows that name what they say."""
    return text_list(*[[row.get(column, "") for column in COLUMNS] for row in rows], headings=COLUMNS)


def wire(source: str = "B-05:7", load: str = "C-04:2", **said: object) -> dict[str, object]:
    """One row, its ends named `slot:terminal`."""
    from_slot, _, from_terminal = source.rpartition(":")
    to_slot, _, to_terminal = load.rpartition(":")
    ends = {"from_slot": from_slot, "from_terminal": from_terminal, "to_slot": to_slot, "to_terminal": to_terminal}
    return {**ends, **said}


def awkward_wires() -> bytes:
    """A list in which every code and name holds an odd sign."""
    return wires(
        *[
            wire(f"{code}:{code}", f"C-04:{code}", link=code, signal=code, from_rack=code, loom=code, remarks=code)
            for code in AWKWARD
        ]
    )


def row_counts() -> dict[str, int]:
    """How many rows each table of the site holds."""
    left_out = {"sessions.Session", "contenttypes.ContentType", "auth.Permission"}
    models = [model for model in apps.get_models() if model._meta.label not in left_out]
    return {model._meta.label: model._default_manager.count() for model in models}
