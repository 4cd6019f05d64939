"""What commissioning does: fit and withdraw chassis, and keep the stored standing true."""

from restoration.commissioning.services.changes import (
    ChangedMeanwhile,
    issue_drawing,
    record_change,
    swap_chassis,
    take_back,
)
from restoration.commissioning.services.fitting import fit_chassis, withdraw_chassis
from restoration.commissioning.services.groups import GroupGiven, add_group, edit_group
from restoration.commissioning.services.signing import sign_gate
from restoration.commissioning.services.standing import (
    Difference,
    compare_standing,
    follow,
    recompute,
    recompute_all,
    worked_out_once,
)

__all__ = [
    "ChangedMeanwhile",
    "Difference",
    "GroupGiven",
    "add_group",
    "compare_standing",
    "edit_group",
    "fit_chassis",
    "follow",
    "issue_drawing",
    "recompute",
    "recompute_all",
    "record_change",
    "sign_gate",
    "swap_chassis",
    "take_back",
    "withdraw_chassis",
    "worked_out_once",
]
