"""The plan of the tide computer hangs together."""

import hashlib
import re
from collections import Counter

import networkx as nx
import pytest

from restoration.kestrel.cast import BY_SHORT_NAME, CAST, ROLES, who_may
from restoration.kestrel.chassis_table import BENCH_FAILURES, CAPTIONS, COLD_REMARKS, NOTES
from restoration.kestrel.fault_table import FAULT_TABLE
from restoration.kestrel.machine_plan import machine_plan

PLAN = machine_plan()
TERMINALS = {terminal.code: terminal for terminal in PLAN.terminals}


def slot_graph():
    """Slots joined by interconnects; the edge key is the interconnect code."""
    graph = nx.MultiDiGraph()
    for link in PLAN.interconnects:
        for load in link.loads:
            graph.add_edge(link.source.split("/")[0], load.split("/")[0], key=link.code)
    return graph


class TestCast:
    def test_eighteen_people_of_whom_two_never_sign_in(self):
        assert len(CAST) == len(BY_SHORT_NAME) == 18
        assert [member.short_name for member in CAST if not member.signs_in] == ["Walter", "Edie"]

    def test_every_role_is_held_and_every_role_held_exists(self):
        held = {role for member in CAST for role in member.roles}
        assert held == set(ROLES)
        assert who_may("power responsible person") == ("Ilse", "Kofi")

    def test_addresses_cannot_be_anyones(self):
        addresses = [member.email for member in CAST if member.email]
        assert len(set(addresses)) == 16
        assert all(address.endswith("@kestrelsands.example") for address in addresses)

    def test_an_unknown_role_is_refused(self):
        with pytest.raises(ValueError) as refused:
            who_may("admiral")
        assert str(refused.value).startswith("There is no role 'admiral'; the roles are site lead, builder,")


class TestPlaces:
    def test_nine_racks_without_an_i(self):
        assert [rack.letter for rack in PLAN.racks] == list("ABCDEFGHJ")

    def test_slots_are_counted_from_the_top_without_gaps(self):
        assert len(PLAN.slots) == 110
        for rack in PLAN.racks:
            codes = [slot.code for slot in PLAN.slots if slot.rack == rack.letter]
            assert codes == [f"{rack.letter}-{position:02d}" for position in range(1, len(codes) + 1)]

    def test_every_slot_has_a_design_and_every_design_a_slot(self):
        assert {slot.design_number for slot in PLAN.slots} == set(PLAN.design_by_number)
        assert len(PLAN.designs) == 48


class TestDesigns:
    def test_issues_run_from_a_in_order_of_date(self):
        for design in PLAN.designs:
            assert "".join(issue.letter for issue in design.issues) == "ABCDE"[: len(design.issues)]
            dates = [issue.issued for issue in design.issues]
            assert dates == sorted(set(dates))
            assert dates[-1].year <= 2026

    def test_the_high_summing_register_is_at_issue_d(self):
        design = PLAN.design_by_number["KS-207"]
        assert (design.title, design.current_issue) == ("Summing register, high", "D")

    def test_the_bench_asks_for_points_and_for_a_pulse_at_every_output(self):
        for design in PLAN.designs:
            outputs = [port.mark for port in design.ports if port.direction == "out"]
            assert [pulse.terminal for pulse in design.bench_pulses] == outputs
            assert len(design.dc_points) >= 3
            assert len({point.name for point in design.dc_points}) == len(design.dc_points)
            assert all(point.tolerance_v > 0 for point in design.dc_points)


class TestSignals:
    def test_names_are_used_once_and_limits_rise(self):
        assert 200 <= len(PLAN.signals) == len({signal.name for signal in PLAN.signals}) <= 300
        for signal in PLAN.signals:
            for limits in (signal.amplitude_v, signal.pulse_duration_s):
                assert limits.least < limits.nominal < limits.most
            assert 15 <= signal.amplitude_v.least <= signal.amplitude_v.most <= 60
            assert 0.9e-6 <= signal.pulse_duration_s.least <= signal.pulse_duration_s.most <= 12e-6

    def test_a_few_signals_have_several_sources(self):
        sources = Counter(t.signal for t in PLAN.terminals if t.direction == "out" and t.signal)
        shared = {signal for signal, count in sources.items() if count > 1}
        assert {"phase bus", "term bus", "sign bus"} <= shared
        assert len(shared) <= 12


class TestWiring:
    def test_about_nine_hundred_interconnects_with_codes_used_once(self):
        assert 850 <= len(PLAN.interconnects) <= 950
        assert len({link.code for link in PLAN.interconnects}) == len(PLAN.interconnects)

    def test_every_end_exists_and_points_the_right_way(self):
        for link in PLAN.interconnects:
            assert TERMINALS[link.source].direction == "out"
            assert TERMINALS[link.source].signal == link.signal
            assert all(TERMINALS[load].direction == "in" for load in link.loads)

    def test_every_load_is_reached_and_every_source_used(self):
        wanted = {t.code for t in PLAN.terminals if t.signal}
        used = {end for link in PLAN.interconnects for end in (link.source, *link.loads)}
        assert used == wanted

    def test_fan_out_runs_from_one_to_five(self):
        counts = Counter(len(link.loads) for link in PLAN.interconnects)
        assert set(counts) == {1, 2, 3, 4, 5}

    def test_lengths_follow_the_racks(self):
        assert all(0.3 <= link.length_m <= 20 for link in PLAN.interconnects)
        inside = [link.length_m for link in PLAN.interconnects if len(link.loads) == 1 and link.loom == "1"]
        across = [link.length_m for link in PLAN.interconnects if len(link.loads) == 1 and link.loom == "17"]
        assert max(inside) < 2.3
        assert min(across) > 5.0

    def test_one_terminal_carries_two_signals_by_mistake(self):
        signals_at = {}
        for link in PLAN.interconnects:
            for load in link.loads:
                signals_at.setdefault(load, set()).add(link.signal)
        twice = {code: signals for code, signals in signals_at.items() if len(signals) > 1}
        assert list(twice.values()) == [{"quadrant one", "end carry"}]
        assert [code.split("/")[0] for code in twice] == ["F-09"]

    @pytest.mark.parametrize(
        "loop",
        [
            ("A-01", "A-02", "A-05"),  # clock, shaper, comparator: the clock held to the drum
            ("C-06", "C-08"),  # the low sum goes round
            ("C-03", "C-10", "B-11", "B-14", "B-08"),  # phase of M2 round by way of the drum
            ("G-08", "G-09"),  # product and round-off
            ("A-06", "A-07", "A-08"),  # ring of digit counters
        ],
    )
    def test_feedback_loops_are_there(self, loop):
        graph = slot_graph()
        assert all(graph.has_edge(here, there) for here, there in zip(loop, (*loop[1:], loop[0]), strict=True))

    def test_the_way_from_clock_to_printer_is_open(self):
        graph = slot_graph()
        for stage in ("B-05", "C-03", "G-08", "C-06", "H-03", "H-12"):
            assert nx.has_path(graph, "A-01", stage)


# Beginnings of the SHA-256 of names of real early machines, so that the list itself names none.
REAL_MACHINES = {
    "c5aa252945c4e1dc",
    "2103aef4696fc4f4",
    "b93dacadf0779554",
    "4034e78bc2764a16",
    "fbf20d23ea2d0889",
    "a9d1e780687ac78d",
    "a644175a6128381a",
    "de8e3798b367fd7b",
    "f2105a2700a8b17f",
    "643f959952b080cf",
    "436e71f9e57ce266",
    "d0a902182ea2475f",
    "4a2ca1a2e679aa69",
    "05c0ddb86cbb9ee0",
    "8f8e762d684db913",
    "ea097215aeaee30f",
    "d404af5aeddd2e4d",
    "6498db7e0efd5e39",
}


def words_of_the_scenario():
    text = [member.line for member in CAST] + [member.display_name for member in CAST]
    text += [design.title + " " + design.purpose for design in PLAN.designs]
    text += [FAULT_TABLE, *NOTES, *CAPTIONS, *COLD_REMARKS, *BENCH_FAILURES.values()]
    text += [rack.name for rack in PLAN.racks] + [signal.name for signal in PLAN.signals]
    return set(re.findall(r"[a-z]+", " ".join(text).lower()))


def test_no_real_machine_is_named():
    hashes = {hashlib.sha256(word.encode()).hexdigest()[:16] for word in words_of_the_scenario()}
    assert not hashes & REAL_MACHINES


def test_the_words_are_those_of_the_trade():
    """Words of software teams, offices and sales have no place in a workshop's records; nor has a claim of safety."""
    kept_out = {"ticket", "backlog", "dashboard", "widget", "asset", "patch", "smart", "insight", "hub", "portal"}
    kept_out |= {"safe", "certified", "sprint", "epic", "workspace"}
    assert not words_of_the_scenario() & kept_out
