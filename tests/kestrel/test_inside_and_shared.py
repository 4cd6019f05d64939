"""What the plan says of the inside of chassis, of what racks share, and of the functional parts."""

from collections import Counter

import pytest

from restoration.kestrel.chassis_story import chassis_stories
from restoration.kestrel.machine_plan import machine_plan
from restoration.kestrel.power_story import IN_CHARGE, RACK_GATES, power_story
from restoration.kestrel.shared_table import earths, groups, rails
from restoration.kestrel.site_days import LAST_DAY, OPEN_WEEKDAYS
from restoration.kestrel.stage_table import STAGE_TABLE, stages_of
from restoration.kestrel.story_records import FittingStory

PLAN = machine_plan()
STAGED = [design for design in PLAN.designs if stages_of(design)]


def test_every_row_of_the_table_belongs_to_a_drawing():
    rows = [line for line in STAGE_TABLE.strip().splitlines() if not line.startswith(" ")]
    assert sum(len(stages_of(design)) for design in PLAN.designs) == len(rows)
    assert 10 <= len(STAGED) < len(PLAN.designs)


@pytest.mark.parametrize("design", STAGED, ids=lambda design: design.number)
def test_a_stage_has_ways_in_and_out_and_every_output_is_someones(design):
    way = {port.mark: port.direction for port in design.ports}
    stages = stages_of(design)
    assert all(stage.inputs and stage.outputs for stage in stages)
    assert {way[mark] for stage in stages for mark in stage.inputs} == {"in"}
    outputs = Counter(mark for stage in stages for mark in stage.outputs)
    assert set(outputs) == {mark for mark, direction in way.items() if direction == "out"}
    assert max(outputs.values()) == 1
    assert len({stage.name for stage in stages}) == len(stages)


def test_formers_and_receivers_restore_the_pulse():
    barriers = {design.number for design in STAGED if any(stage.is_barrier for stage in stages_of(design))}
    assert {"KS-216", "KS-221", "KS-222", "KS-238"} <= barriers
    assert "KS-204" not in barriers


def test_every_rack_hangs_on_heaters_ht_and_bias_and_on_one_earth():
    letters = sorted(rack.letter for rack in PLAN.racks)
    for kind in ("heaters", "HT", "bias"):
        assert sorted(letter for rail in rails() if rail.kind == kind for letter in rail.racks) == letters
    assert sorted(letter for earth in earths() for letter in earth.racks) == letters


def test_groups_have_a_test_and_members_that_exist():
    codes = {slot.code for slot in PLAN.slots}
    for group in groups():
        assert group.pass_test.endswith(".")
        assert set(group.slots) <= codes
        assert len(group.slots) == len(set(group.slots)) >= 3
    assert len({group.code for group in groups()}) == len(groups())


def test_supplies_are_signed_in_order_before_the_first_chassis_goes_in():
    told = list(power_story(PLAN, chassis_stories(PLAN)))
    fitted = {}
    for unit in chassis_stories(PLAN):
        for event in unit.events:
            if isinstance(event, FittingStory):
                fitted[event.slot[0]] = min(event.at, fitted.get(event.slot[0], event.at))
    order = [gate for gate, _ in RACK_GATES]
    for letter, first in fitted.items():
        signed = [each for each in told if each.kind == "rack" and each.code == letter]
        assert [each.gate for each in sorted(signed, key=lambda each: each.at)] == order
        assert max(each.at for each in signed) < first


def test_two_people_sign_one_of_them_in_charge_on_a_day_the_loft_is_open():
    for each in power_story(PLAN, chassis_stories(PLAN)):
        assert IN_CHARGE in (each.by, each.second)
        assert each.by != each.second
        assert each.at.date() <= LAST_DAY
        assert each.at.weekday() in OPEN_WEEKDAYS
