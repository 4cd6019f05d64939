"""Acts of proving, by noun; what other apps call is named here."""

from restoration.proving.services.bench_tests import BenchFigure, test_on_bench
from restoration.proving.services.chassis_checks import check_cold, receive_chassis
from restoration.proving.services.concessions import give_concession
from restoration.proving.services.instruments import InstrumentFacts, add_instrument, edit_instrument
from restoration.proving.services.signal_checks import EndFigures, record_signal_check
from restoration.proving.services.wire_checks import join_wire, lift_wire, ring_out

__all__ = [
    "BenchFigure",
    "EndFigures",
    "InstrumentFacts",
    "add_instrument",
    "check_cold",
    "edit_instrument",
    "give_concession",
    "join_wire",
    "lift_wire",
    "receive_chassis",
    "record_signal_check",
    "ring_out",
    "test_on_bench",
]
