"""Sums for winding a coil, and for the wire on it."""

from restoration.sums.catalogue.coils.damped import DAMPED
from restoration.sums.catalogue.coils.windings import MULTI, SINGLE, TURNS
from restoration.sums.catalogue.coils.wires import COPPER_SUM, GAUGE
from restoration.sums.declared import Group

GROUP = Group(6, "A coil is to be wound", (TURNS, SINGLE, MULTI, DAMPED, GAUGE, COPPER_SUM))
