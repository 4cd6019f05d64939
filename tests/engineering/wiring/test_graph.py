"""What a wiring is made of, what is refused, and that threads may share it."""

import threading
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest

from restoration.engineering.wiring import Place, Start, build_wiring, components, cone
from tests.engineering.wiring.families import sequential

GOOD = {"slot_count": 2, "terminal_slot": [0, 0, 1], "source": [0], "load": [2], "stage_slot": [0],
        "stage_barrier": [True], "port_stage": [0], "port_terminal": [1], "port_is_out": [True]}  # fmt: skip


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ({"slot_count": -1}, "slot_count must be a whole number from 0 to 2147483646; -1 was given."),
        ({"slot_count": 1.5}, "slot_count must be a whole number from 0 to 2147483646; 1.5 was given."),
        ({"slot_count": True}, "slot_count must be a whole number from 0 to 2147483646; True was given."),
        ({"terminal_slot": [0, 0, 2]}, "terminal_slot must hold slots from 0 to 1; 2 was given at place 2."),
        ({"slot_count": 0}, "terminal_slot must hold no slot, for there is none; 0 was given at place 0."),
        ({"source": [-1]}, "source must hold terminals from 0 to 2; -1 was given at place 0."),
        ({"source": [2**40]}, "source must hold terminals from 0 to 2; 1099511627776 was given at place 0."),
        ({"source": [0, 1]}, "source and load must be of one length; they are 2 and 1 long."),
        ({"load": [float("nan")]}, "load must hold whole numbers; nan was given at place 0."),
        ({"load": [0.5]}, "load must hold whole numbers; 0.5 was given at place 0."),
        ({"load": [[2]]}, "load must be one row of numbers; an array of shape (1, 1) was given."),
        ({"load": ["a"]}, "load must hold whole numbers; values of type <U1 were given."),
        ({"load": [True]}, "load must hold whole numbers; values of type bool were given."),
        ({"stage_barrier": []}, "stage_slot and stage_barrier must be of one length; they are 1 and 0 long."),
        ({"stage_barrier": [1]}, "stage_barrier must hold True or False; values of type int64 were given."),
        ({"port_stage": [1]}, "port_stage must hold stages from 0 to 0; 1 was given at place 0."),
        ({"port_is_out": []}, "port_stage, port_terminal and port_is_out must be of one length; they are 1, 1 and 0 "
         "long."),
        ({"port_terminal": [2]}, "A port must join a stage to a terminal of its own slot; at place 0, stage 0 stands "
         "in slot 0 and terminal 2 in slot 1."),
    ],
)  # fmt: skip
def test_nonsense_is_refused_in_a_whole_sentence(given, sentence):
    build_wiring(**GOOD)
    with pytest.raises(ValueError) as refused:
        build_wiring(**{**GOOD, **given})
    assert str(refused.value) == sentence


def test_counts_and_ends():
    wiring = build_wiring(**GOOD)
    assert (wiring.slot_count, wiring.terminal_count, wiring.link_count, wiring.stage_count) == (2, 3, 1, 2)
    assert (wiring.source_slot.tolist(), wiring.load_slot.tolist()) == ([0], [1])
    assert (wiring.stage_slot.tolist(), wiring.stage_barrier.tolist()) == ([0, 1], [True, False])


def test_stages_given_come_first_and_a_bare_slot_is_one_stage():
    wiring = build_wiring(
        slot_count=3, terminal_slot=[], source=[], load=[], stage_slot=[1, 1], stage_barrier=[0 > 1] * 2
    )
    assert wiring.stage_slot.tolist() == [1, 1, 0, 2]


@pytest.mark.parametrize(
    ("place", "sentence"),
    [
        ("slot", "A slot must be a whole number from 0 to 1; 2 was given."),
        ("terminal", "A terminal must be a whole number from 0 to 2; 3 was given."),
        ("link", "A link must be a whole number from 0 to 0; -1 was given."),
        ("stage", "A stage must be a whole number from 0 to 1; 2 was given."),
    ],
)
def test_a_start_that_is_not_there_is_refused(place, sentence):
    wiring = build_wiring(**GOOD)
    assert getattr(wiring, f"at_{place}")(0) == Start(Place(place), 0)
    with pytest.raises(ValueError) as refused:
        getattr(wiring, f"at_{place}")(int(sentence.split()[-3]))
    assert str(refused.value) == sentence


def test_nothing_of_it_can_be_written_to_and_what_was_given_stays_the_givers():
    source = np.array([0], np.int32)
    wiring = build_wiring(**{**GOOD, "source": source})
    source[0] = 2
    assert wiring.source.tolist() == [0]
    rows = [wiring.down, wiring.up, wiring.nodes.into, wiring.nodes.out_of, wiring.links_from]
    held = [wiring.source, wiring.load, wiring.terminal_slot, wiring.stage_slot, wiring.edge_link, wiring.edge_tail]
    for array in held + [part for row in rows for part in (row.start, row.edges, row.ends)]:
        assert not array.flags.writeable
    with pytest.raises(AttributeError):
        wiring.slot_count = 3


def test_parallel_links_are_kept_apart():
    wiring = build_wiring(slot_count=2, terminal_slot=[0, 1], source=[0, 0, 0], load=[1, 1, 1])
    assert cone(wiring, wiring.at_slot(0), down=True).links.tolist() == [0, 1, 2]


def test_threads_that_share_a_wiring_all_get_the_answer_of_one_alone():
    def ask(wiring, slot):
        found = cone(wiring, wiring.at_slot(slot), down=slot % 2 == 0, stop_at_barriers=slot % 3 == 0)
        near = cone(wiring, wiring.at_terminal(slot), down=True, hops=3)
        return found.hop_of_slot.tolist(), found.links.sum(), near.slots.tolist(), components(wiring).of_stage.tolist()

    rows = sequential(2000)
    alone = [ask(rows.wiring(), slot) for slot in range(24)]
    shared, gate = rows.wiring(), threading.Barrier(8)

    def ask_together(slot):
        if slot < 8:
            gate.wait()
        return ask(shared, slot)

    with ThreadPoolExecutor(8) as threads:
        assert list(threads.map(ask_together, range(24))) == alone
