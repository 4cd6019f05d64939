"""Reads the table of designs and gives each its issues and what the bench must find."""

from datetime import date, timedelta

from restoration.kestrel.design_table import DESIGN_TABLE
from restoration.kestrel.plan_records import BenchPulsePlan, DcPointPlan, DesignPlan, IssuePlan, Limits, PortPlan
from restoration.kestrel.signal_kinds import KINDS, MICRO

FIRST_ISSUES_FROM = date(2023, 9, 4)
BENCH_LOAD_OHM = 22e3
BENCH_LOAD_F = 47e-12

REASONS = (
    ("Redrawn from the survivors' prints", True),
    ("Values read from the chassis kept by the harbour office", True),
    ("Terminals in the order of the wire list", False),
    ("Anode load raised after the first one ran hot", True),
    ("Heater pairs drawn as they are run", False),
)

# What is measured at rest, in volts: name of the electrode, nominal, tolerance.
STAGE_POINTS = (
    ("anode", 148.0, 12.0),
    ("screen", 126.0, 10.0),
    ("cathode", 3.4, 0.5),
    ("grid", -16.0, 1.5),
    ("follower cathode", 58.0, 6.0),
    ("anode", 212.0, 15.0),
    ("divider", 92.0, 8.0),
)


def _issues(number: int, count: int) -> tuple[IssuePlan, ...]:
    start = FIRST_ISSUES_FROM + timedelta(days=(number * 29) % 300)
    return tuple(
        IssuePlan("ABCDE"[step], start + timedelta(days=step * (90 + number % 7 * 11)), *REASONS[step])
        for step in range(count)
    )


def _ports(text: str) -> tuple[PortPlan, ...]:
    ports = []
    for mark, entry in enumerate(text.split(";"), start=1):
        name, _, kind = entry.strip()[1:].partition(":")
        direction = "out" if entry.strip().startswith(">") else "in"
        ports.append(PortPlan(str(mark), direction, name, kind))
    return tuple(ports)


def _dc_points(number: int, ports: tuple[PortPlan, ...]) -> tuple[DcPointPlan, ...]:
    outputs = sum(port.direction == "out" for port in ports)
    stages = min(8, 2 + outputs)
    points = []
    for stage in range(1, stages + 1):
        electrode, nominal_v, tolerance_v = STAGE_POINTS[(number * 3 + stage * 2) % len(STAGE_POINTS)]
        nominal_v = round(nominal_v * (1 + ((number + stage * 5) % 7 - 3) / 100), 1)
        points.append(DcPointPlan(f"V{stage} {electrode}", nominal_v, tolerance_v))
    return tuple(points)


def _bench_pulse(port: PortPlan) -> BenchPulsePlan:
    """The bench asks for what the rack asks for: one stated load, no wire."""
    kind = KINDS[port.kind]
    least_us, nominal_us, most_us = kind.duration_us
    return BenchPulsePlan(
        port.mark,
        Limits(*kind.amplitude_v),
        Limits(least_us * MICRO, nominal_us * MICRO, most_us * MICRO),
        Limits(None, None, round(kind.rise_most_us * 0.8, 3) * MICRO),
        Limits(None, None, round(kind.fall_most_us * 0.8, 3) * MICRO),
        BENCH_LOAD_OHM,
        BENCH_LOAD_F,
        port.kind,
    )


def _design(head: str, terminals: str) -> DesignPlan:
    mark, title, purpose = (part.strip() for part in head.split("|"))
    number, prefix, issue_count = mark.split()
    ports = _ports(terminals)
    return DesignPlan(
        number=f"KS-{number}",
        serial_prefix=prefix,
        title=title,
        purpose=purpose,
        issues=_issues(int(number), int(issue_count)),
        ports=ports,
        dc_points=_dc_points(int(number), ports),
        bench_pulses=tuple(_bench_pulse(port) for port in ports if port.direction == "out"),
    )


def designs() -> tuple[DesignPlan, ...]:
    """Every design of the tide computer, in the order of its drawing numbers."""
    rows: list[tuple[str, list[str]]] = []
    for line in DESIGN_TABLE.strip().splitlines():
        if line.startswith(" "):
            rows[-1][1].append(line)
        else:
            rows.append((line, []))
    return tuple(_design(head, " ".join(terminals)) for head, terminals in rows)
