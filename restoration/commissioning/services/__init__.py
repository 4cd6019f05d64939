"""What commissioning does: fit and withdraw chassis, and keep the stored standing true."""

from restoration.commissioning.services.fitting import fit_chassis, withdraw_chassis
from restoration.commissioning.services.standing import Difference, compare_standing, recompute, recompute_all

__all__ = ["Difference", "compare_standing", "fit_chassis", "recompute", "recompute_all", "withdraw_chassis"]
