"""Keeps the wiring in this process, and never answers from one that is no longer so.

Each question first compares the mark that the database renews with every write (`machine/stamp.py`). So it does not
matter which process wrote, or how; and what a transaction wrote that is then undone has a mark that nobody meets again.
"""

import threading

from django.db import connection
from django.db.backends.base.base import BaseDatabaseWrapper

from restoration.machine.stamp import read_stamp, stamp_stands
from restoration.machine.wiring.known import KnownWiring
from restoration.machine.wiring.loading import load_wiring

KEPT = 2  # the wiring as it is, and the one that a transaction under way sees or has left behind


class WiringKept:
    """The last states of the wiring that were asked for, the newest last."""

    def __init__(self) -> None:
        self._known: tuple[tuple[str, KnownWiring], ...] = ()
        self._reading = threading.Lock()

    def now(self, connection: BaseDatabaseWrapper) -> KnownWiring:
        """Give the wiring as this connection sees it now."""
        stamp = read_stamp(connection)
        return self._found(stamp) or self._read_anew(connection)

    def _found(self, stamp: str | None) -> KnownWiring | None:
        """Look without a lock: the tuple is never changed, only put in place of another."""
        return next((known for mark, known in self._known if mark == stamp), None)

    def _read_anew(self, connection: BaseDatabaseWrapper) -> KnownWiring:
        """Read it once, however many ask at the same moment; without a mark to go by it is not kept."""
        with self._reading:
            found = self._found(read_stamp(connection))
            if found:
                return found
            stamp, known = load_wiring(connection)
            if stamp is not None and stamp_stands(connection):
                self._known = (*self._known[-(KEPT - 1) :], (stamp, known))
            return known


_kept = WiringKept()


def wiring_now() -> KnownWiring:
    """Give the wiring as it is now: from memory where nothing has been written to it since, else read anew."""
    return _kept.now(connection)
