"""What a page address asks to follow, read and written, so that a followed signal can be sent to somebody else."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from urllib.parse import urlencode

from django.http import QueryDict

WAYS = {"down": "downstream", "up": "upstream"}
HOPS = 3
MOST_HOPS = 12
ALL = "all"


@dataclass(frozen=True)
class Asked:
    """Where to begin, which way, how far, and what is unfolded: slots, racks and whole hops."""

    place: str = ""
    link: str = ""
    way: str = "down"
    hops: int | None = HOPS
    open_slots: tuple[str, ...] = ()
    open_racks: tuple[str, ...] = ()
    open_hops: tuple[int, ...] = ()

    @property
    def is_down(self) -> bool:
        """Whether the signal is followed to what it drives."""
        return self.way == "down"

    @property
    def stream(self) -> str:
        """The way as it is said."""
        return WAYS[self.way]

    @property
    def is_unfolded(self) -> bool:
        """Whether anything was unfolded by hand."""
        return bool(self.open_slots or self.open_racks or self.open_hops)

    @property
    def says_where(self) -> bool:
        """Whether there is a place to begin at."""
        return bool(self.place or self.link)

    @property
    def address(self) -> str:
        """The address as it stands behind that of the page, the same for everybody."""
        pairs = [("link" if self.link else "from", self.link or self.place), ("way", self.way)]
        pairs.append(("hops", ALL if self.hops is None else str(self.hops)))
        for name, values in (("open", self.open_slots), ("rack", self.open_racks), ("hop", self.open_hops)):
            pairs.extend((name, str(value)) for value in values)
        return f"?{urlencode(pairs)}"

    def opening_slot(self, code: str) -> "Asked":
        """The same with one hop more beyond this slot."""
        return replace(self, open_slots=(*self.open_slots, code))

    def opening_rack(self, code: str) -> "Asked":
        """The same with every slot of this rack by itself."""
        return replace(self, open_racks=(*self.open_racks, code))

    def opening_hop(self, hop: int) -> "Asked":
        """The same with every slot of this hop by itself."""
        return replace(self, open_hops=(*self.open_hops, hop))

    def folded(self) -> "Asked":
        """The same with nothing unfolded."""
        return replace(self, open_slots=(), open_racks=(), open_hops=())

    def other_way(self) -> "Asked":
        """The same place, followed the other way."""
        return replace(self.folded(), way="up" if self.is_down else "down")

    def from_slot(self, code: str) -> "Asked":
        """The same way and as far, but from this slot."""
        return replace(self.folded(), place=code, link="")


def read_asked(query: QueryDict) -> tuple[Asked, list[str]]:
    """Read what an address asks; with it, a sentence for each thing in it that cannot be."""
    wrong: list[str] = []
    place, link = query.get("from", "").strip(), query.get("link", "").strip()
    if place and link:
        wrong.append(
            "A signal is followed from a slot, a terminal or a link; give one of them and leave the rest empty."
        )
    way = query.get("way", "") or "down"
    if way not in WAYS:
        wrong.append(f"A signal is followed down or up; “{way}” was given.")
    hops = _hops(query.get("hops", ""), wrong)
    return Asked(
        place=place,
        link=link,
        way=way if way in WAYS else "down",
        hops=hops,
        open_slots=_once(query.getlist("open")),
        open_racks=_once(query.getlist("rack")),
        open_hops=tuple(int(hop) for hop in _once(query.getlist("hop")) if hop.isdecimal() and len(hop) < 7),
    ), wrong


def _hops(given: str, wrong: list[str]) -> int | None:
    if not given:
        return HOPS
    if given == ALL:
        return None
    if given.isdecimal() and len(given) < 4 and 1 <= int(given) <= MOST_HOPS:
        return int(given)
    wrong.append(f"A signal is followed 1 to {MOST_HOPS} hops, or “{ALL}” of them; “{given}” was given.")
    return HOPS


def _once(values: Sequence[str]) -> tuple[str, ...]:
    """Each value once, in order; none with the NUL that no code holds."""
    return tuple(dict.fromkeys(value for value in values if "\0" not in value))
