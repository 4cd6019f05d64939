"""What commissioning keeps: groups, signed gates, changes with their doubts, rules, and a copy of standing."""

from restoration.commissioning.models.changes import Change, Doubt
from restoration.commissioning.models.gate_records import GateRecord
from restoration.commissioning.models.groups import Group
from restoration.commissioning.models.rules import RuleVersion
from restoration.commissioning.models.sheets import AgainSheet
from restoration.commissioning.models.standing import Standing

__all__ = ["AgainSheet", "Change", "Doubt", "GateRecord", "Group", "RuleVersion", "Standing"]
