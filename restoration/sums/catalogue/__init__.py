"""All the loose sums, found by themselves: each module here holds one `GROUP`."""

import pkgutil
from functools import cache
from importlib import import_module

from restoration.sums.declared import Group, Sum


@cache
def groups() -> tuple[Group, ...]:
    """Every group of sums, in the order of the questions that a pair asks."""
    names = [f"{__name__}.{found.name}" for found in pkgutil.iter_modules(__path__)]
    found = [module.GROUP for module in map(import_module, names) if hasattr(module, "GROUP")]
    return tuple(sorted(found, key=lambda group: group.order))


@cache
def sums() -> dict[str, Sum]:
    """Every sum by the word that stands for it in addresses and commands."""
    known: dict[str, Sum] = {}
    for one in (one for group in groups() for one in group.sums):
        if one.slug in known:
            raise ValueError(f"Two sums are called “{one.slug}”; each has a name of its own.")
        known[one.slug] = one
    return known
