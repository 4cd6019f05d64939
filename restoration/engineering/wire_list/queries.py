"""What a wire list makes a careful reader ask, without being refused for it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence, Set
from itertools import chain
from typing import NamedTuple, TypeVar

from restoration.engineering.wire_list.known import End, KnownWiring, LinkFacts

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
    """Links in columns: first those of the list as they will be, then the recorded ones it does not name."""

    codes: Sequence[str]
    signals: Sequence[str]
    sources: Sequence[End]
    loads: Sequence[End]


def wiring_of(links: Sequence[LinkFacts], sources: Sequence[End], loads: Sequence[End], known: KnownWiring) -> Wiring:
    """Put the links of a list, whose ends are given beside them, before the untouched recorded ones.

    >>> link = LinkFacts("K1", "GATE 1", "A", "1", "B", "1")
    >>> wiring_of([link], [link.source], [link.load], KnownWiring(links={"K0": link._replace(code="K0")})).codes
    ['K1', 'K0']
    """
    codes, signals = [link.code for link in links], [link.signal for link in links]
    untouched = known.links.keys() - set(codes) if known.links else set()
    others = [link for code, link in known.links.items() if code in untouched] if untouched else []
    return Wiring(
        codes + [link.code for link in others],
        signals + [link.signal for link in others],
        [*sources, *(link.source for link in others)],
        [*loads, *(link.load for link in others)],
    )


def two_signals(wiring: Wiring, named: Set[End]) -> tuple[TerminalSignals, ...]:
    """Terminals named by the list that would carry two different signals; a blank signal says nothing.

    >>> wiring = Wiring(["K1", "K2"], ["GATE 1", "GATE 2"], [("A", "1"), ("A", "1")], [("B", "1"), ("C", "1")])
    >>> two_signals(wiring, {("A", "1")})
    (TerminalSignals(slot='A', terminal='1', signals=('GATE 1', 'GATE 2'), links=('K1', 'K2')),)
    """
    at_source = zip(wiring.sources, wiring.signals, wiring.codes, strict=True)
    at_load = zip(wiring.loads, wiring.signals, wiring.codes, strict=True)
    torn = _torn(
        chain(zip(wiring.sources, wiring.signals, strict=True), zip(wiring.loads, wiring.signals, strict=True))
    )
    said: dict[End, dict[str, str]] = {end: {} for end in sorted(torn & named)}
    if said:
        for end, signal, code in chain(at_source, at_load):
            if signal and end in said:
                said[end][code] = signal
    return tuple(TerminalSignals(*end, tuple(sorted(set(by.values()))), tuple(by)) for end, by in said.items())


def several_sources(wiring: Wiring, named: Set[str]) -> tuple[SignalSources, ...]:
    """Signals named by the list that come from more than one terminal: allowed, and told.

    >>> wiring = Wiring(["K1", "K2"], ["GATE 1", "GATE 1"], [("A", "1"), ("C", "1")], [("B", "1"), ("B", "1")])
    >>> several_sources(wiring, {"GATE 1"})
    (SignalSources(signal='GATE 1', sources=(('A', '1'), ('C', '1'))),)
    """
    torn = _torn(zip(wiring.signals, wiring.sources, strict=True)) & named - {""}
    sources: dict[str, set[End]] = {signal: set() for signal in sorted(torn)}
    if sources:
        for signal, source in zip(wiring.signals, wiring.sources, strict=True):
            if signal in sources:
                sources[signal].add(source)
    return tuple(SignalSources(signal, tuple(sorted(ends))) for signal, ends in sources.items())


def _torn(pairs: Iterable[tuple[K, V]]) -> set[K]:
    """The first of each pair that stands beside two different seconds, blanks apart."""
    first: dict[K, V] = {}
    return {one for one, other in pairs if other and first.setdefault(one, other) != other}


def self_links(sources: Sequence[End], loads: Sequence[End]) -> list[int]:
    """The places, in the list, of wires from a terminal to itself.

    >>> self_links([("A", "1"), ("A", "2")], [("B", "1"), ("A", "2")])
    [1]
    """
    return [place for place, (source, load) in enumerate(zip(sources, loads, strict=True)) if source == load]
