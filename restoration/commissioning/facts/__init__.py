"""Turns rows into the evidence and changes that `engineering.standing` judges."""

from restoration.commissioning.facts.chassis import all_chassis_histories, chassis_histories
from restoration.commissioning.facts.groups import all_group_histories, group_histories
from restoration.commissioning.facts.history import Histories, History
from restoration.commissioning.facts.interconnects import all_link_histories, link_histories
from restoration.commissioning.facts.racks import all_rack_histories, rack_histories

HISTORIES_OF = {
    "chassis": chassis_histories,
    "interconnect": link_histories,
    "rack": rack_histories,
    "group": group_histories,
}
ALL_HISTORIES_OF = {
    "chassis": all_chassis_histories,
    "interconnect": all_link_histories,
    "rack": all_rack_histories,
    "group": all_group_histories,
}

__all__ = [
    "ALL_HISTORIES_OF",
    "HISTORIES_OF",
    "Histories",
    "History",
    "chassis_histories",
    "group_histories",
    "link_histories",
    "rack_histories",
]
