"""Sums for a wire on which the pulse rings or bounces."""

from restoration.sums.catalogue.bouncing.damping import DAMPING
from restoration.sums.catalogue.bouncing.ends import BOTH_ENDS
from restoration.sums.catalogue.bouncing.termination import TERMINATION
from restoration.sums.catalogue.bouncing.wires import LONG, WIRE
from restoration.sums.declared import Group

GROUP = Group(2, "The pulse rings or bounces", (BOTH_ENDS, DAMPING, TERMINATION, LONG, WIRE))
