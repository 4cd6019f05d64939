"""What the drawings say of the inside of a chassis: its stages, and which of them restore the pulse.

A row is: drawing number, stage (a star where it restores amplitude and timing), its valves, the signals that
enter it, the signals that leave it. Signals are named without the words that a slot fills in; `all` means every
one of that direction; a line that begins with a blank goes on with the row. A drawing that has
no row here says nothing of its inside.
"""

from dataclasses import dataclass

from restoration.kestrel.plan_records import DesignPlan, PortPlan

STAGE_TABLE = """
202 gate* | V1 to V4 | all | all
203 shaper* | V1 to V3 | all | all
204 phase | V1 to V5 | clock; digit pulse; phase back; clear; strobe; digit time | phase; phase bus
204 term | V6 to V10 | clock; cosine digits; product bus; sign gated; restored carry; word gate; half word gate
  | term; carry bus; sign bus
204 amplitude | V11, V12 | constants; word gate; half word gate; clock | amplitude bus
210 shaper* | V1 to V4 | all | all
211 comparator | V1 to V6 | drum mark shaped; tide clock; sector mark; digit time | speed correction
211 alarm | V7 | drum mark shaped; tide clock | lock lost
215 decoder* | V1 to V8 | all | all
216 former* | V1 to V3 | clock; tide clock; digit time; strobe; read gate; clear | pulse
216 check | V4 | clock; tide clock | check
217 reading* | V1 to V8 | track signal; read gate; clock; strobe; digit pulse; clear; digit time | phase back
217 check | V9 | track signal; strobe | read check
218 writing* | V1 to V6 | all | track drive
218 check | V7 | write clock; write gate | write check
221 digit* | V1, V2 | clock; digit pulse; clear; strobe; digit time | local digit
221 dash* | V3, V4 | clock; dash pulse; clear; strobe; digit time | local dash
222 restorer* | V1 to V4 | all | restored carry
222 overflow | V5 | carry bus; strobe | carry overflow
225 reading* | V1 to V6 | all | table digits
225 check | V7 | table address; strobe | table check
238 former* | V1 to V3 | multiply gate; clock; strobe; digit time; dash pulse | shift pulse
238 back | V4 | multiplicand; clock; digit time | multiplicand back
245 reading* | V1 to V6 | all | all
"""


@dataclass(frozen=True)
class StagePlan:
    """One stage of a design, by the marks of its terminals."""

    name: str
    is_barrier: bool
    parts: str
    inputs: tuple[str, ...]
    outputs: tuple[str, ...]


def stages_of(design: DesignPlan) -> tuple[StagePlan, ...]:
    """The stages that this drawing tells of; none where it tells nothing."""
    rows = (row.split(" | ") for row in STAGE_TABLE.strip().replace("\n  |", " |").splitlines())
    return tuple(
        _stage(head.partition(" ")[2], valves, enters, leaves, design.ports)
        for head, valves, enters, leaves in rows
        if design.number.endswith(head.partition(" ")[0])
    )


def _stage(name: str, valves: str, enters: str, leaves: str, ports: tuple[PortPlan, ...]) -> StagePlan:
    inputs, outputs = _marks(enters, "in", ports), _marks(leaves, "out", ports)
    return StagePlan(name.removesuffix("*"), name.endswith("*"), valves, inputs, outputs)


def _marks(named: str, direction: str, ports: tuple[PortPlan, ...]) -> tuple[str, ...]:
    wanted = {word.strip() for word in named.split(";")}
    return tuple(
        port.mark
        for port in ports
        if port.direction == direction and (named == "all" or _bare(port.signal_template) in wanted)
    )


def _bare(template: str) -> str:
    """A signal without the words in braces that a slot fills in.

    >>> _bare("digit time {t1}"), _bare("{c} phase back")
    ('digit time', 'phase back')
    """
    return " ".join(word for word in template.split() if "{" not in word)
