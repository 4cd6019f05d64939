"""Records of what was checked, measured and joined."""

from restoration.proving.models.chassis_checks import BenchReading, BenchTest, ColdCheck, ReceivingCheck
from restoration.proving.models.concessions import Concession
from restoration.proving.models.instruments import Instrument
from restoration.proving.models.signal_checks import Capture, SignalCheck, SignalReading
from restoration.proving.models.wire_checks import Joining, RingOut

__all__ = [
    "BenchReading",
    "BenchTest",
    "Capture",
    "ColdCheck",
    "Concession",
    "Instrument",
    "Joining",
    "ReceivingCheck",
    "RingOut",
    "SignalCheck",
    "SignalReading",
]
