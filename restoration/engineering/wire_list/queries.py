"""What a wire list makes a careful reader ask, without being refused for it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence, Set
from itertools import chain, count
from typing import NamedTuple, TypeVar

from restoration.engineering.wire_list.known import End, KnownWiring, LinkFacts
from restoration.engineering.wire_list.places import Numbers, Places

K = TypeVar("K")
V = TypeVar("V")


class TerminalSignals(NamedTuple):
    """A terminal that carries two or more signals, and the links that say so."""

    slot: str
    terminal: str
    signals: tuple[str, ...]
    links: tuple[str, ...]


class SignalSources(NamedTuple):
    """A signal that comes from two or more terminals."""

    signal: str
    sources: tuple[End, ...]


class Wiring(NamedTuple):
    """Links in columns: first those of the list as they will be, then the recorded ones it does not name.

    Ends are numbers into ``terminals``, of which the first ``listed`` are named by the list.
    """

    codes: Sequence[str]
    signals: Sequence[str]
    sources: Sequence[int]
    loads: Sequence[int]
    terminals: Sequence[End]
    listed: int


def wiring_of(links: Sequence[LinkFacts], named: Places, known: KnownWiring) -> Wiring:
    """Put the links of a list, with the places it names, before the untouched recorded ones.

    >>> link = LinkFacts("K1", "GATE 1", "A", "1", "B", "1")
    >>> known = KnownWiring(links={"K0": link._replace(code="K0", to_slot="C")})
    >>> wiring = wiring_of([link], Places((), (), {}, (link.source, link.load), [0], [1]), known)
    >>> wiring.codes, wiring.loads, wiring.listed
    (['K1', 'K0'], [1, 2], 2)
    """
    codes, signals = [link.code for link in links], [link.signal for link in links]
    others = _untouched(codes, known)
    number = Numbers(zip(named.terminals, count(), strict=False)) if others else Numbers()
    return Wiring(
        codes + [link.code for link in others],
        signals + [link.signal for link in others],
        [*named.sources, *(number[link.source] for link in others)],
        [*named.loads, *(number[link.load] for link in others)],
        list(number) if others else named.terminals,
        len(named.terminals),
    )


def _untouched(codes: Sequence[str], known: KnownWiring) -> list[LinkFacts]:
    """The recorded links that the list does not name."""
    if not known.links:
        return []
    others = known.links.keys() - set(codes)
    return [link for code, link in known.links.items() if code in others] if others else []


def two_signals(wiring: Wiring) -> tuple[TerminalSignals, ...]:
    """Terminals named by the list that would carry two different signals; a blank signal says nothing.

    >>> terminals = [("A", "1"), ("B", "1"), ("C", "1")]
    >>> two_signals(Wiring(["K1", "K2"], ["GATE 1", "GATE 2"], [0, 0], [1, 2], terminals, 3))
    (TerminalSignals(slot='A', terminal='1', signals=('GATE 1', 'GATE 2'), links=('K1', 'K2')),)
    """
    at_source = zip(wiring.sources, wiring.signals, strict=True)
    at_load = zip(wiring.loads, wiring.signals, strict=True)
    torn = _torn(chain(at_source, at_load))
    said: dict[int, dict[str, str]] = {end: {} for end in torn if end < wiring.listed}
    if said:
        for source, load, signal, code in zip(wiring.sources, wiring.loads, wiring.signals, wiring.codes, strict=True):
            for end in (source, load):
                if signal and end in said:
                    said[end][code] = signal
    return tuple(
        TerminalSignals(slot, terminal, tuple(sorted(set(by_link.values()))), tuple(by_link))
        for (slot, terminal), by_link in sorted((wiring.terminals[end], by_link) for end, by_link in said.items())
    )


def several_sources(wiring: Wiring, named: Set[str]) -> tuple[SignalSources, ...]:
    """Signals named by the list that come from more than one terminal: allowed, and told.

    >>> terminals = [("A", "1"), ("B", "1"), ("C", "1")]
    >>> several_sources(Wiring(["K1", "K2"], ["GATE 1", "GATE 1"], [0, 2], [1, 1], terminals, 3), {"GATE 1"})
    (SignalSources(signal='GATE 1', sources=(('A', '1'), ('C', '1'))),)
    """
    torn = _torn((signal, source + 1) for signal, source in zip(wiring.signals, wiring.sources, strict=True) if signal)
    sources: dict[str, set[End]] = {signal: set() for signal in sorted(torn & named)}
    if sources:
        for signal, source in zip(wiring.signals, wiring.sources, strict=True):
            if signal in sources:
                sources[signal].add(wiring.terminals[source])
    return tuple(SignalSources(signal, tuple(sorted(ends))) for signal, ends in sources.items())


def _torn(pairs: Iterable[tuple[K, V]]) -> set[K]:
    """The first of each pair that stands beside two different seconds; a blank second says nothing."""
    first: dict[K, V] = {}
    return {one for one, other in pairs if other and first.setdefault(one, other) != other}


def self_links(wiring: Wiring, links: int) -> list[int]:
    """Which of the first so many links run from a terminal to itself.

    >>> self_links(Wiring(["K1", "K2"], ["", ""], [0, 1], [2, 1], [("A", "1"), ("B", "1"), ("C", "1")], 3), 2)
    [1]
    """
    ends = zip(wiring.sources[:links], wiring.loads, strict=False)
    return [place for place, (source, load) in enumerate(ends) if source == load]
