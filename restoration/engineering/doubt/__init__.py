"""The doubt map: what was changed, and the evidence that no longer stands because of it."""

from restoration.engineering.doubt.around import Surroundings
from restoration.engineering.doubt.defaults import DEFAULT_RULES
from restoration.engineering.doubt.finding import doubts
from restoration.engineering.doubt.kinds import FOLLOWING, LEADS_TO, RECORDED, Kind, Reach, Share
from restoration.engineering.doubt.records import DoubtFound, Item, Subject
from restoration.engineering.doubt.rule import Rule, RuleBook

__all__ = [
    "DEFAULT_RULES",
    "FOLLOWING",
    "LEADS_TO",
    "RECORDED",
    "DoubtFound",
    "Item",
    "Kind",
    "Reach",
    "Rule",
    "RuleBook",
    "Share",
    "Subject",
    "Surroundings",
    "doubts",
]
