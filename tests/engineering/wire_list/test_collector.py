"""The collector runs again afterwards, whatever happened in between."""

import gc

import pytest

from restoration.engineering.wire_list.collector import collector_paused


def test_it_runs_again_after_an_error():
    with pytest.raises(KeyError), collector_paused():
        raise KeyError
    assert gc.isenabled()


def test_one_pause_inside_another_does_not_end_it():
    with collector_paused():
        with collector_paused():
            pass
        assert not gc.isenabled()
    assert gc.isenabled()


def test_a_collector_that_was_off_stays_off():
    gc.disable()
    try:
        with collector_paused():
            pass
        assert not gc.isenabled()
    finally:
        gc.enable()
