"""What the site found of a chassis: received, checked cold, run on the bench."""

from datetime import date

from numpy.random import Generator

from restoration.engineering.link_model import STRAIGHT_EDGE
from restoration.kestrel.chassis_table import COLD_REMARKS, DAMAGE
from restoration.kestrel.joined import LOAD_OHM, drive_ohm
from restoration.kestrel.link_physics import output_duration_s, output_edge_s, output_height_v, output_slowness
from restoration.kestrel.plan_records import BenchPulsePlan, DesignPlan
from restoration.kestrel.signal_kinds import KINDS, MICRO
from restoration.kestrel.site_days import at, chance, pair
from restoration.kestrel.story_records import BenchReadingStory, BenchStory, ColdCheckStory, ReceivingStory

HT_V = 250.0
HEATER_V = 6.3
HEATER_A_A_VALVE = 0.3


def receiving_check(serial: str, day: date) -> ReceivingStory:
    """Taken in on that day, its label read."""
    first, second = pair(day, serial, "receive")
    damage = DAMAGE[int(chance(serial, "damage").integers(len(DAMAGE)))]
    return ReceivingStory(at(day, 10, 15), first, second, serial, True, damage, "passed")


def cold_check(serial: str, builder: str, day: date) -> ColdCheckStory:
    """Looked over by two people of whom neither built it."""
    luck = chance(serial, "cold")
    first, second = pair(day, serial, "cold", without=builder)
    return ColdCheckStory(
        at=at(day, 11, 30),
        by=first,
        second=second,
        ht_to_chassis_ohm=round(float(luck.uniform(180e3, 900e3)), -3),
        heater_to_chassis_ohm=round(float(luck.uniform(4e6, 40e6)), -5),
        agrees_with_drawing=True,
        joints_good=True,
        hazards="Old sleeving near the heater tags; not disturbed." if luck.random() < 0.15 else "",
        result="passed",
        remarks=COLD_REMARKS[int(luck.integers(len(COLD_REMARKS)))],
    )


def bench_test(serial: str, design: DesignPlan, day: date, *, failing: str = "") -> BenchStory:
    """Run on the bench; where it fails, one figure is out and the remarks say why."""
    luck = chance(serial, day, "bench")
    first, second = pair(day, serial, "bench")
    readings = [reading for pulse in design.bench_pulses for reading in _pulse_readings(design.number, pulse, luck)]
    readings = [*_dc_readings(design, luck), *readings]
    if failing:
        readings = _one_out(readings, failing)
    valves = len(design.dc_points)
    return BenchStory(
        at=at(day, 13, 0),
        by=first,
        second=second,
        instrument="OS-1",
        warm_up_min=float(luck.integers(20, 45)),
        ht_v=round(HT_V + float(luck.normal(0, 1.2)), 1),
        ht_ma=round(valves * 6.5 + float(luck.normal(0, 1.5)), 1),
        heater_v=round(HEATER_V + float(luck.normal(0, 0.04)), 2),
        heater_a=round(valves * HEATER_A_A_VALVE * float(luck.uniform(0.97, 1.03)), 2),
        temperature_c=round(float(luck.uniform(14, 23)), 1),
        readings=tuple(readings),
        result="failed" if failing else "passed",
        remarks=failing,
    )


def _within(luck: Generator, middle: float, reach: float) -> float:
    """About the middle, never further from it than the reach."""
    return middle + reach * min(1.0, max(-1.0, float(luck.normal(0, 0.5))))


def _dc_readings(design: DesignPlan, luck: Generator) -> list[BenchReadingStory]:
    return [
        BenchReadingStory(point.name, "dc_level", round(_within(luck, point.nominal_v, point.tolerance_v * 0.35), 2))
        for point in design.dc_points
    ]


def _height_v(number: str, pulse: BenchPulsePlan) -> float:
    """What the output gives into the load of the bench, which is heavier than a grid."""
    source_ohm = drive_ohm((number, pulse.terminal), pulse.kind)
    light_v = output_height_v((number, pulse.terminal), pulse.amplitude_v.nominal or 0.0)
    return light_v * (1 + source_ohm / LOAD_OHM) / (1 + source_ohm / pulse.load_ohm)


def _pulse_readings(number: str, pulse: BenchPulsePlan, luck: Generator) -> list[BenchReadingStory]:
    output = (number, pulse.terminal)
    height_v = _height_v(number, pulse)
    duration_s = output_duration_s(output, pulse.pulse_duration_s.nominal or 0.0)
    rise_s = STRAIGHT_EDGE * output_edge_s(output, KINDS[pulse.kind].rise_most_us * MICRO)
    fall_s = rise_s * output_slowness(output)
    figures = (
        ("amplitude", round(_within(luck, height_v, height_v * 0.015), 2)),
        ("pulse_duration", round(_within(luck, duration_s, duration_s * 0.01), 9)),
        ("rise_time", round(_within(luck, rise_s, rise_s * 0.05), 9)),
        ("fall_time", round(_within(luck, fall_s, fall_s * 0.05), 9)),
    )
    return [
        BenchReadingStory(pulse.terminal, quantity, value, pulse.load_ohm, pulse.load_f) for quantity, value in figures
    ]


def _one_out(readings: list[BenchReadingStory], failing: str) -> list[BenchReadingStory]:
    """Spoil the figure the remarks speak of: a stage by its valve, an output by its order."""
    spoilt = _spoken_of(readings, failing)
    factor = 0.62 if "wide" not in failing and "high" not in failing.split(":")[0] else 1.45
    value = round(readings[spoilt].value * factor, 9)
    changed = readings[spoilt]
    readings[spoilt] = BenchReadingStory(changed.place, changed.quantity, value, changed.load_ohm, changed.load_f)
    return readings


def _spoken_of(readings: list[BenchReadingStory], failing: str) -> int:
    stage = failing.split()[0]
    if stage.startswith("V"):
        return next(index for index, reading in enumerate(readings) if reading.place.startswith(f"{stage} "))
    quantity = "pulse_duration" if "wide" in failing else "amplitude"
    return next(index for index, reading in enumerate(readings) if reading.quantity == quantity)
