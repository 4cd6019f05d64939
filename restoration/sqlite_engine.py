"""Chooses a SQLite whose write-ahead log does not lose a race.

SQLite 3.7.0 to 3.51.2 can corrupt a database in write-ahead mode when two connections checkpoint and
restart the log at the same instant; 3.51.3 mends it, and 3.44.6 and 3.50.7 carry the mend back. The
`pysqlite3` wheel brings a mended library, and takes the standard module's place before Django loads it.
"""

import sqlite3
import sys

MENDED = (3, 51, 3)
MENDED_SERIES = {(3, 44): 6, (3, 50): 7}


def is_sound(version: tuple[int, int, int]) -> bool:
    """Say whether a SQLite of this version carries the mend.

    >>> is_sound((3, 40, 1)), is_sound((3, 44, 6)), is_sound((3, 53, 4))
    (False, True, True)
    """
    series_mend = MENDED_SERIES.get(version[:2])
    return version >= MENDED or (series_mend is not None and version[2] >= series_mend)


def use_sound_sqlite() -> tuple[int, int, int]:
    """Put the mended library in the standard module's place where needed; return the version in use."""
    if not is_sound(sqlite3.sqlite_version_info):
        import pysqlite3
        import pysqlite3.dbapi2

        sys.modules["sqlite3"] = pysqlite3
        sys.modules["sqlite3.dbapi2"] = pysqlite3.dbapi2
    return version_in_use()


def version_in_use() -> tuple[int, int, int]:
    """Give the version of the library behind `import sqlite3` now."""
    major, minor, patch = sys.modules["sqlite3"].sqlite_version_info
    return major, minor, patch
