"""Signal checks as a pair records them, for the tests that read them afterwards."""

from restoration.proving.models import SignalCheck
from restoration.proving.services import EndFigures, record_signal_check
from tests.proving.test_signal_checks import GOOD


def recorded(link, tester, second_tester, *ends, **fields) -> SignalCheck:
    given = {"loads_joined": True, "done_by": tester, "second_person": second_tester, "entered_by": tester} | fields
    return record_signal_check(interconnect=link, ends=ends or [EndFigures("load", "found", GOOD)], **given)
