"""What kind of file came, told by its first bytes rather than by its name."""

from __future__ import annotations

import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO

from python_calamine import PasswordError

from restoration.engineering.wire_list.bounds import Bounds
from restoration.engineering.wire_list.refusals import WireListRefused, refuse_file

ACCEPTED = "a wire list comes as .csv, .xlsx or .ods"

FOREIGN = (
    (b"\xd0\xcf\x11\xe0", "an older workbook, or one locked with a password"),
    (b"%PDF", "a PDF document"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"GIF8", "a picture"),
    (b"RIFF", "a sound, film or picture"),
    (b"\x1f\x8b", "a packed archive"),
    (b"BZh", "a packed archive"),
    (b"7z\xbc\xaf", "a packed archive"),
    (b"Rar!", "a packed archive"),
    (b"\xfd7zXZ", "a packed archive"),
    (b"{\\rtf", "a text document"),
    (b"\x7fELF", "a program"),
    (b"MZ\x90", "a program"),
    (b"SQLite format 3", "a database"),
    (b"<", "a web page or other marked-up text"),
    (b"{", "data in braces"),
)
"""First bytes of files that are offered by mistake, and what to call them."""


def kind_of(data: bytes, *, name: str, bounds: Bounds) -> str:
    """Tell ``csv``, ``xlsx`` or ``ods`` by content.

    Raises WireListRefused with a sentence for an empty file and for every other kind.

    >>> from restoration.engineering.wire_list.bounds import BOUNDS
    >>> kind_of(b"from_slot,to_slot", name="list.xlsx", bounds=BOUNDS)
    'csv'
    """
    start = data[:4096].removeprefix(b"\xef\xbb\xbf").lstrip()
    if not start and not data.removeprefix(b"\xef\xbb\xbf").strip():
        raise refuse_file("The file is empty; " + ACCEPTED + ".", value=name)
    if data.startswith((b"PK\x03\x04", b"PK\x05\x06")):
        return _kind_in_archive(data, name, bounds)
    for mark, what in FOREIGN:
        if start.startswith(mark):
            raise refuse_file(f"The file is {what}; {ACCEPTED}.", value=name)
    return "csv"


def _kind_in_archive(data: bytes, name: str, bounds: Bounds) -> str:
    with as_refusals(), zipfile.ZipFile(BytesIO(data)) as archive:
        members = archive.infolist()
    check_unpacked_size(members, bounds)
    names = {member.filename for member in members}
    if "xl/workbook.xml" in names:
        return "xlsx"
    if "content.xml" in names:
        return "ods"
    raise refuse_file(f"The file is a packed archive without an .xlsx or .ods workbook in it; {ACCEPTED}.", value=name)


def check_unpacked_size(members: list[zipfile.ZipInfo], bounds: Bounds) -> None:
    """Refuse an archive whose directory announces more than may be unpacked.

    >>> from restoration.engineering.wire_list.bounds import BOUNDS
    >>> check_unpacked_size([], BOUNDS)
    """
    unpacked = sum(member.file_size for member in members)
    if unpacked > bounds.unpacked_bytes:
        raise refuse_file(
            f"The workbook would unpack to {unpacked:,} bytes; at most {bounds.unpacked_bytes:,} are unpacked."
        )


def damaged() -> WireListRefused:
    """The refusal of a workbook that cannot be opened.

    >>> str(damaged())
    'The workbook is damaged and cannot be read; open it in a spreadsheet, save it again and send that copy.'
    """
    return refuse_file(
        "The workbook is damaged and cannot be read; open it in a spreadsheet, save it again and send that copy."
    )


def locked() -> WireListRefused:
    """The refusal of a workbook that asks for a password.

    >>> str(locked())
    'The workbook is locked with a password; save it without one.'
    """
    return refuse_file("The workbook is locked with a password; save it without one.")


@contextmanager
def as_refusals() -> Iterator[None]:
    """Turn whatever goes wrong while a foreign workbook is opened into a refusal.

    A damaged archive can fail at any step and in ways its readers do not list, a panic of the
    compiled one among them, so everything that is an error counts as damage.

    >>> with as_refusals():
    ...     raise KeyError("xl/sharedStrings.xml")
    Traceback (most recent call last):
    restoration.engineering.wire_list.refusals.WireListRefused: The workbook is damaged ...
    """
    try:
        yield
    except WireListRefused:
        raise
    except PasswordError as error:
        raise locked() from error
    except Exception as error:
        raise (locked() if "encrypted" in str(error) else damaged()) from error
    except BaseException as error:
        if type(error).__name__ == "PanicException":
            raise damaged() from error
        raise
