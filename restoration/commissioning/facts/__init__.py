"""Turns rows into the evidence and changes that `engineering.standing` judges."""

from restoration.commissioning.facts.chassis import chassis_histories
from restoration.commissioning.facts.history import Histories, History
from restoration.commissioning.facts.interconnects import link_histories

__all__ = ["Histories", "History", "chassis_histories", "link_histories"]
