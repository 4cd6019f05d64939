"""The command that fits the wiring constants."""

import json

import pytest

from restoration.conditioning.models import WiringFit
from tests.conditioning.hidden_site import HIDDEN, site
from tests.reading import last_line


@pytest.fixture
def five(tester, second_tester):
    return site(tester, second_tester, 5)


def test_it_tells_the_constants_and_stores_nothing(run_command, five):
    status, out, err = run_command("fit_wiring")
    assert (status, err) == (0, "")
    assert out.startswith("Fitted from 5 signal checks.")
    assert "  wire, hook-up: " in out
    assert "pF/m (" in out
    assert "Not taken into use; --use does that. Advice: verify by measurement." in out
    assert not WiringFit.objects.exists()


def test_it_takes_them_into_use_and_a_program_reads_them(run_command, five):
    status, out, err = run_command("fit_wiring", "--use", "--json")
    assert (status, err) == (0, "")
    told = json.loads(out)
    fit = WiringFit.objects.get()
    assert (told["fitted"], told["used_as"], told["record_count"], told["older_records"]) == (True, fit.pk, 5, 0)
    assert (told["left_out"], told["wild"]) == ({}, [])
    constants = {(row["name"], row["wire"]): row for row in told["constants"]}
    drive = constants["drive_factor", ""]
    assert drive["low"] < HIDDEN[2] < drive["high"]
    assert constants["capacitance_f_per_m", "hook-up"]["value"] < 1e-10
    assert len(told["drives"]) == 5
    assert last_line().sentence.startswith(f"The command line took wiring constants {fit.pk} into use")


def test_too_few_records_end_with_one(run_command, tester, second_tester):
    site(tester, second_tester, 2)
    status, out, err = run_command("fit_wiring", "--use")
    assert (status, err) == (1, "")
    assert out.startswith("2 signal checks tell something of wires and drives, and at least 5 are needed")
    assert not WiringFit.objects.exists()


def test_too_few_records_for_a_program(run_command, db):
    status, out, _ = run_command("fit_wiring", "--json")
    told = json.loads(out)
    assert status == 1
    assert (told["fitted"], told["record_count"], told["needed"], told["left_out"]) == (False, 0, 5, {})
    assert told["says"].startswith("0 signal checks tell")
