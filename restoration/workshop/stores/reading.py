"""A list of parts as text, read row by row by the rules of the form; what is wrong is named by its line."""

import csv
from collections.abc import Iterator, Sequence
from io import StringIO

from django.core.exceptions import ValidationError

from restoration.workshop.models import Grade, PartKind
from restoration.workshop.services import ListedPart
from restoration.workshop.stores.forms import StoresLineForm

MOST_ROWS = 1000
COLUMNS = {
    "kind": "kind",
    "value": "value",
    "tolerance": "tolerance",
    "watts": "rating_w",
    "volts": "rating_v",
    "number": "quantity",
    "grade": "grade",
    "make": "make",
    "place": "place",
    "remarks": "remarks",
}
NEEDED = ("kind", "value", "tolerance", "number")
ALSO_CALLED = {"w": "watts", "v": "volts", "quantity": "number", "how many": "number", "tolerance, %": "tolerance"}
KINDS = {
    "r": PartKind.RESISTOR,
    "resistors": PartKind.RESISTOR,
    "c": PartKind.CAPACITOR,
    "capacitors": PartKind.CAPACITOR,
}
SEPARATORS = ("\t", ";", ",")


def read_list(text: str) -> list[ListedPart]:
    """Read all the parts of a list, or refuse it with a sentence for each line that cannot be taken."""
    rows = list(_rows(text))
    if not rows:
        raise ValidationError("The list is empty; it starts with a row of headings.")
    names = _names(rows[0][1])
    if len(rows) == 1:
        raise ValidationError("The list has headings and no parts below them.")
    if len(rows) - 1 > MOST_ROWS:
        raise ValidationError(f"The list has {len(rows) - 1:,} lines; at most {MOST_ROWS:,} are taken at once.")
    parts: list[ListedPart] = []
    wrong: list[str] = []
    for line, cells in rows[1:]:
        part, sentences = _read(line, dict(zip(names, cells, strict=False)), len(cells) - len(names))
        parts += [part] if part else []
        wrong += sentences
    if wrong:
        raise ValidationError(wrong)
    return parts


def _rows(text: str) -> Iterator[tuple[int, list[str]]]:
    """Line numbers and cells of the rows that are not blank."""
    heading = text.lstrip().partition("\n")[0]
    separator = max(SEPARATORS, key=heading.count)
    reader, line = csv.reader(StringIO(text, newline=""), delimiter=separator, strict=True), 1
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                yield line, [cell.strip() for cell in cells]
            line = reader.line_num + 1
    except csv.Error as wrong:
        raise ValidationError(f"Line {line}: the double quotes of this row do not close; write it again.") from wrong


def _names(headings: Sequence[str]) -> list[str]:
    said = [" ".join(heading.lower().split()) for heading in headings]
    names = [ALSO_CALLED.get(name, name) for name in said]
    missing = [name for name in NEEDED if name not in names]
    if missing:
        raise ValidationError(
            f"The first row has no heading {_listed(missing)}; the headings are {_listed(list(COLUMNS))}, "
            f"of which {_listed(list(NEEDED))} are needed."
        )
    strange = [heading for heading, name in zip(headings, names, strict=True) if name not in COLUMNS]
    twice = sorted({name for name in names if names.count(name) > 1})
    if strange or twice:
        wrong = (
            f"“{strange[0]}” is no heading of this list" if strange else f"The heading {twice[0]} stands there twice"
        )
        raise ValidationError(f"{wrong}; the headings are {_listed(list(COLUMNS))}.")
    return names


def _read(line: int, cells: dict[str, str], too_many: int) -> tuple[ListedPart | None, list[str]]:
    if too_many > 0:
        return None, [f"Line {line} has more cells than there are headings; put cells with a comma into double quotes."]
    sent = {COLUMNS[name]: text for name, text in cells.items()}
    sent["kind"] = KINDS.get(sent.get("kind", "").lower(), sent.get("kind", "").lower())
    sent["grade"] = sent.get("grade", "").lower() or Grade.PERIOD
    form = StoresLineForm(sent)
    if form.is_valid():
        return ListedPart(line, form.part()), []
    called = {field: name for name, field in COLUMNS.items()}
    return None, [
        f"Line {line}, {called.get(name, name)}: {sentence}"
        for name, sentences in form.errors.items()
        for sentence in sentences
    ]


def _listed(names: Sequence[str]) -> str:
    return " and ".join(part for part in (", ".join(names[:-1]), names[-1]) if part)
