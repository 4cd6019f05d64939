"""The worked table: changes to the small machine, and all that each of them puts in doubt, written down by hand.

Each line of what is expected reads: rule, item: gates: path. What a rule passes over has a dash in front, and no
gates. The table follows the rules for regression of the trade row by row; the paths were followed with a finger on
the drawing in `small_machine`.
"""

from tests.engineering.doubt.worked_lines import Worked, as_lines
from tests.engineering.doubt.worked_shared import SHARED
from tests.engineering.doubt.worked_slots import AT_SLOTS
from tests.engineering.doubt.worked_wires import AT_WIRES

WORKED_TABLE = AT_SLOTS + AT_WIRES + SHARED

__all__ = ["WORKED_TABLE", "Worked", "as_lines"]
