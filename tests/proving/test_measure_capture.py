import json
import math
import re
import subprocess
import sys
from pathlib import Path

import pytest

from restoration.engineering.pulses import PulseMeasurement
from restoration.proving.management.commands.measure_capture import in_words
from tests.proving.malformed import MALFORMED
from tests.proving.scope import capture, two_channels, without_times

ROOT = Path(__file__).resolve().parents[2]
KEYS = {
    "name", "samples", "sample_interval_s", "minimum_v", "maximum_v", "peak_to_peak_v", "low_level_v",
    "high_level_v", "amplitude_v", "polarity", "rising_edges", "falling_edges", "rise_time_s", "fall_time_s",
    "pulse_duration_s", "period_s", "frequency_hz", "duty", "jitter_s", "overshoot", "undershoot", "preshoot",
    "settling_s", "ringing_hz", "noise_rms_v", "warnings",
}  # fmt: skip


@pytest.fixture
def file(tmp_path):
    def write(data: bytes, name: str = "trace.csv") -> str:
        place = tmp_path / name
        place.write_bytes(data)
        return str(place)

    return write


def strict(text):
    def refuse(word):
        raise AssertionError(f"{word} is not JSON")

    return json.loads(text, parse_constant=refuse)


def test_json_has_every_figure_under_its_key(file, run_command):
    place = file(capture())
    status, out, err = run_command("measure_capture", place, "--json")
    told = strict(out)
    assert (status, err) == (0, "")
    assert set(told) == {"file", "shape", "channels", "warnings"}
    assert (told["file"], told["shape"], told["warnings"]) == (place, "a heading above the data", [])
    (channel,) = told["channels"]
    assert set(channel) >= KEYS
    assert channel["amplitude_v"] == pytest.approx(17.2, rel=0.01)
    assert channel["rise_time_s"]["value"] == pytest.approx(0.304e-6, rel=0.05)
    assert (channel["samples"], channel["sample_interval_s"]) == (2000, 4e-9)
    assert (channel["polarity"], channel["period_s"]) == ("positive pulse", None)


def test_every_channel_is_measured_unless_one_is_named(file, run_command):
    place = file(two_channels())
    _, out, _ = run_command("measure_capture", place, "--json")
    assert [channel["name"] for channel in strict(out)["channels"]] == ["CH1", "CH2"]
    for wanted in ("2", "CH2", "ch2"):
        _, out, _ = run_command("measure_capture", place, "--channel", wanted, "--json")
        assert [channel["name"] for channel in strict(out)["channels"]] == ["CH2"]


def test_people_read_figures_with_units_and_reasons(file, run_command):
    status, out, err = run_command("measure_capture", file(capture()))
    out = out.replace("\xa0", " ")
    assert (status, err) == (0, "")
    assert out.startswith("trace.csv: a heading above the data.\n")
    assert "CH1: 2000 samples, 4.00 ns apart; positive pulse, 1 rising and 1 falling edges" in out
    assert re.search(r"amplitude       17\.2\d V ± ", out)
    assert re.search(r"overshoot       4\.\d % ± ", out)
    assert "period          not known. Fewer than two like edges are in the record" in out


@pytest.mark.parametrize(
    ("jitter_s", "doubt_s", "told"),
    [(4e-22, 1e-9, "under 2.0 ns"), (1.9e-12, 1e-9, "under 2.0 ns"), (2.1e-12, 1e-9, "2.100 ps ± 2.0 ns"),
     (4e-22, 0.0, "0 s"), (0.0, 1e-9, "0 s ± 2.0 ns")],
)  # fmt: skip
def test_a_figure_far_below_its_own_uncertainty_is_told_as_a_bound(jitter_s, doubt_s, told):
    one = PulseMeasurement("CH1", 2, 1.0, 0.0, 1.0, 1.0, jitter_s=jitter_s, uncertainty={"jitter_s": doubt_s})
    lines = [line.replace("\xa0", " ") for line in in_words(one)]
    assert f"  jitter          {told}" in lines


def test_a_bound_and_warnings_are_told(file, run_command):
    coarse = "".join(f"{n * 1e-7:.3e},{17 if 20 <= n < 44 else 0}\n" for n in range(100)).encode()
    _, out, _ = run_command("measure_capture", file(coarse))
    out = out.replace("\xa0", " ")
    assert "rise, 10–90 %   at most 100 ns" in out
    assert "Note: There is no sample on the rising edge; its duration can be bounded but not told." in out
    _, out, _ = run_command("measure_capture", file(without_times()))
    assert "2000 samples, an interval not known apart" in out
    assert "Note: The file has no column of times and states no sample interval" in out


@pytest.mark.parametrize("wanted", ["3", "0", "CH9"])
def test_a_channel_that_is_not_there_is_refused(file, run_command, wanted):
    status, out, err = run_command("measure_capture", file(two_channels()), "--channel", wanted)
    assert (status, out) == (2, "")
    assert f"There is no channel “{wanted}” in this capture; it has 2: CH1, CH2. Count from 1." in err


def test_a_file_that_is_not_there_is_refused(tmp_path, run_command):
    status, out, err = run_command("measure_capture", str(tmp_path / "none.csv"), "--json")
    assert status == 2
    assert "none.csv cannot be read: No such file or directory." in err
    assert strict(out) == {"refused": [err.strip()]}
    status, _, err = run_command("measure_capture", str(tmp_path))
    assert status == 2
    assert "cannot be read: Is a directory." in err


@pytest.mark.parametrize("name", sorted(MALFORMED))
def test_what_is_no_capture_is_refused_with_a_sentence(file, run_command, name):
    status, out, err = run_command("measure_capture", file(MALFORMED[name]), "--json")
    assert status == 2
    assert err.startswith("trace.csv: ")
    assert err.strip()[-1] in ".!?"
    assert strict(out) == {"refused": [err.strip()]}


def test_it_works_without_a_database(file, tmp_path):
    place = file(capture())
    environment = {"DATABASE_URL": "postgres://nobody@127.0.0.1:1/none", "DATA_DIR": str(tmp_path), "SECRET_KEY": "x"}
    done = subprocess.run(
        [sys.executable, str(ROOT / "manage.py"), "measure_capture", place, "--json"],
        env=environment | {"PATH": ""},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert math.isclose(strict(done.stdout)["channels"][0]["amplitude_v"], 17.2, rel_tol=0.01)
