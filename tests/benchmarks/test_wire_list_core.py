"""Reading and planning a wire list against merely splitting its text, in one run."""

import csv
import io
import time

import pytest

from restoration.engineering.wire_list.headings import COLUMNS
from restoration.engineering.wire_list.known import KnownWiring
from restoration.engineering.wire_list.plan import plan_import
from restoration.engineering.wire_list.rows import read_rows
from restoration.engineering.wire_list.tables import read_table

ROWS = 50_000
MOST = 12.0
"""Measured 4 to 7 on two shared cores; the bound leaves room for a busy machine."""


def wire_list():
    """50,000 wires between 200 slots, each to a load terminal of its own; a source terminal has one signal."""
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow(COLUMNS)
    for number in range(ROWS):
        source = number % 2400
        slot, terminal = divmod(source, 24)
        writer.writerow([
            f"W{number:05}", f"SIGNAL {source}", f"R{slot % 9}", f"B-{slot:03}", terminal, f"R{number % 100 % 9}",
            f"C-{number % 100:03}", number // 100, "0.6 tinned", "red", f"{number % 700 / 100}", f"L{number % 50}",
            "yes" if number % 5 == 0 else "no", "",
        ])  # fmt: skip
    return text.getvalue().encode()


def seconds(work, times=3):
    """The shortest of a few runs."""
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return min(taken)


@pytest.mark.benchmark
def test_reading_and_planning_costs_few_times_the_splitting():
    data = wire_list()
    plans = []
    splitting = seconds(lambda: list(csv.reader(io.StringIO(data.decode(), newline=""))))
    planning = seconds(
        lambda: plans.append(plan_import(read_rows(read_table(data, name="w.csv")), KnownWiring(), create_missing=True))
    )
    assert len(plans[-1].to_add) == ROWS
    assert plans[-1].two_signals == ()
    ratio = planning / splitting
    print(f"splitting {splitting:.3f} s, reading and planning {planning:.3f} s, {ratio:.1f} times")
    assert ratio <= MOST
