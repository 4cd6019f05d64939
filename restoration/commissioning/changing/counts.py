"""How much a change puts in doubt, counted in a sentence."""

from collections.abc import Iterable

from restoration.commissioning.changing.phrases import listed
from restoration.engineering.doubt import DoubtFound

NOUNS = {
    "interconnect": ("link", "links"),
    "chassis": ("chassis", "chassis"),
    "rack": ("rack", "racks"),
    "group": ("group", "groups"),
}


def items_in(found: Iterable[DoubtFound]) -> dict[str, set[int]]:
    """The items that evidence is asked of again: row ids by their kind; those passed over are left out."""
    items: dict[str, set[int]] = {kind: set() for kind in NOUNS}
    for doubt in found:
        if doubt.is_asked:
            items[doubt.item.kind].add(doubt.item.pk)
    return items


def counted(items: dict[str, set[int]]) -> str:
    """Count them in words, such as “14 links, 1 chassis and 2 groups”; empty where there are none."""
    return listed(
        [f"{len(items[kind])} {nouns[len(items[kind]) != 1]}" for kind, nouns in NOUNS.items() if items[kind]]
    )
