"""What an import would do, decided before anything is saved."""

from __future__ import annotations

from dataclasses import replace

from restoration.engineering.wire_list.collector import collector_paused
from restoration.engineering.wire_list.doubles import doubles_told
from restoration.engineering.wire_list.known import KnownWiring
from restoration.engineering.wire_list.links import (
    LinkPlan,
    coded,
    codes_refused,
    link_plan,
    turned_as_known,
)
from restoration.engineering.wire_list.outcome import (
    ImportPlan,
    LinkDisagreement,
    NamedLink,
    refused_plan,
)
from restoration.engineering.wire_list.pairing import Pairing, pair_ends
from restoration.engineering.wire_list.places import (
    Places,
    places_named,
    racks_that_disagree,
    unknown_places,
)
from restoration.engineering.wire_list.queries import Wiring, self_links, several_sources, two_signals, wiring_of
from restoration.engineering.wire_list.refusals import RefusalList, refuse_file
from restoration.engineering.wire_list.rows import WireRows
from restoration.engineering.wire_list.wires import WireColumns, in_columns

__all__ = ["ImportPlan", "plan_import", "refused_plan"]

WARNINGS_TOLD = 20


def plan_import(
    wires: WireRows, known: KnownWiring, *, create_missing: bool = False, both_ends: bool = False
) -> ImportPlan:
    """Compare a wire list with the records and say what taking it in would do.

    Racks, slots and terminals that are not known are refused unless ``create_missing``. Signals
    are always made, since the wire list is where a signal is named. With ``both_ends`` the list
    names every wire once from each end. A wire without a code takes the one formed from its ends,
    so that the same list a second time changes nothing.

    >>> from restoration.engineering.wire_list.rows import read_rows
    >>> from restoration.engineering.wire_list.tables import read_table
    >>> data = b"from_slot,from_terminal,to_slot,to_terminal\\nB-05,7,C-04,2"
    >>> wires = read_rows(read_table(data, name="w.csv"))
    >>> plan = plan_import(wires, KnownWiring(), create_missing=True)
    >>> [link.code for link in plan.to_add], plan.slots, plan.terminals
    (['B-05:7 > C-04:2'], 2, 2)
    >>> plan_import(wires, KnownWiring()).refused[0].sentence()
    'Line 2, column from_slot: No slot “B-05” is known; correct it, or let the import create what is missing.'
    """
    with collector_paused():
        return _planned(wires, known, create_missing=create_missing, both_ends=both_ends)


def _planned(read: WireRows, known: KnownWiring, *, create_missing: bool, both_ends: bool) -> ImportPlan:
    if not read.row_count:
        return refused_plan(refuse_file("There is no wire in this list."))
    wires, pairing = read.wires, Pairing()
    refusals = RefusalList(read.refused, read.refused_count)
    places = places_named(wires)
    refusals.add(racks_that_disagree(wires, places, known))
    if not create_missing:
        refusals.add(unknown_places(wires, places, known))
    if both_ends:
        pairing = pair_ends(wires.rows())
        wires = in_columns(turned_as_known(pairing.rows, known))
        places = places_named(wires)
    codes = coded(wires)
    refusals.add(codes_refused(wires.line, codes))
    counted = ImportPlan(
        row_count=read.row_count,
        racks=len(places.racks),
        slots=len(places.slots),
        terminals=len(places.terminals),
        interconnects=len(codes),
        refused=refusals.kept,
        refused_count=refusals.count,
        warnings=(*read.warnings, *(() if both_ends else doubles_told(wires))),
    )
    if refusals.count:
        return counted
    links = link_plan(wires, codes, read.columns, known)
    wiring = wiring_of(links.final, places, known)
    return _with_new(_with_queries(counted, wires, links, wiring, pairing), wires, places, links, known)


def _with_new(plan: ImportPlan, wires: WireColumns, places: Places, links: LinkPlan, known: KnownWiring) -> ImportPlan:
    signals = dict.fromkeys(wires.signal)
    return replace(
        plan,
        to_add=links.to_add,
        to_change=links.to_change,
        unchanged=links.unchanged,
        new_racks=places.new_racks(known),
        new_slots=places.new_slots(known),
        slot_racks=places.filled_racks(known),
        new_terminals=places.new_terminals(known),
        new_signals=[signal for signal in signals if signal and signal not in known.signals],
        warnings=(*plan.warnings, *_beside_known(wires, links, known)),
    )


def _with_queries(
    plan: ImportPlan, wires: WireColumns, links: LinkPlan, wiring: Wiring, pairing: Pairing
) -> ImportPlan:
    def named(place: int) -> NamedLink:
        return NamedLink(wires.line[place], *links.final[place][:1], *links.final[place][2:6])

    place_of = {line: place for place, line in enumerate(wires.line)} if pairing.tells else {}
    return replace(
        plan,
        two_signals=two_signals(wiring),
        self_links=[named(place) for place in self_links(wiring, len(links.final))],
        several_sources=several_sources(wiring, set(wiring.signals[: len(links.final)])),
        one_ended=[named(place_of[row.line]) for row in pairing.one_ended],
        length_disagrees=[
            LinkDisagreement(named(place_of[found.row.line]), found) for found in pairing.length_disagrees
        ],
        disagrees=[LinkDisagreement(named(place_of[found.row.line]), found) for found in pairing.disagrees],
    )


def _beside_known(wires: WireColumns, links: LinkPlan, known: KnownWiring) -> list[str]:
    """Tell wires that come without a code where a link of another code joins the same ends already."""
    if not known.links or all(wires.link):
        return []
    given = set(wires.link)
    formed = [link for link in links.to_add if link.code not in given]
    joined = {(link.source, link.load): link.code for link in known.links.values()}
    beside = [(link.code, joined.get((link.source, link.load))) for link in formed]
    told = [
        f"“{code}” comes without a link code and is taken as one more wire beside “{other}”, which joins the same ends."
        for code, other in beside
        if other is not None
    ]
    more = len(told) - WARNINGS_TOLD
    return told[:WARNINGS_TOLD] + ([f"{more:,} more wires come beside known ones in the same way."] if more > 0 else [])
