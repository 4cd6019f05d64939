"""Working a sum from what was typed: every figure read, each refusal put beside what it is about."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import urlencode

import numpy as np

from restoration.common.text import shown as shown_text
from restoration.sums.declared import Answer, Sum, Value

TOO_FAR = "With these figures the sum runs beyond what can be reckoned; look at their sizes and units."


@dataclass(frozen=True)
class Worked:
    """A sum with what was typed, and either its answer or what is wrong: by input, and with the whole."""

    sum: Sum
    texts: Mapping[str, str]
    is_example: bool
    values: Mapping[str, Any] = field(default_factory=dict)
    answer: Answer | None = None
    wrong: Mapping[str, str] = field(default_factory=dict)
    refused: tuple[str, ...] = ()

    @property
    def told(self) -> list[tuple[str, str]]:
        """What was given, by its label, as it is told again; only of a sum that was worked."""
        return [(each.label, each.told(self.texts[each.name])) for each in self.sum.inputs]

    @property
    def address(self) -> str:
        """What stands behind the address of the page, the same for everybody."""
        return f"?{urlencode(list(self.texts.items()))}"

    @property
    def sentences(self) -> list[str]:
        """All that is wrong, each with the input it is about."""
        labels = {one.name: one.label for one in self.sum.inputs}
        return [*self.refused, *(f"{labels[name]}: {sentence}" for name, sentence in self.wrong.items())]


def work(one: Sum, given: Mapping[str, str]) -> Worked:
    """Work a sum from texts; with nothing given, its worked example. What is optional may be left out."""
    is_example = not given
    texts = {each.name: given.get(each.name, "") for each in one.inputs} if given else one.example
    foreign = tuple(_not_asked(one, name) for name in given if one.input_named(name) is None)
    values, wrong = _read(one, texts)
    if foreign or wrong:
        return Worked(one, texts, is_example, values, wrong=wrong, refused=foreign)
    try:
        with np.errstate(over="raise", divide="raise", invalid="raise"):
            answer = one.compute(**values)
        _refuse_nonsense(answer)
    except ArithmeticError:
        return Worked(one, texts, is_example, values, refused=(TOO_FAR,))
    except ValueError as refusal:
        about, sentence = _about(one, str(refusal))
        if about:
            return Worked(one, texts, is_example, values, wrong={about: sentence})
        return Worked(one, texts, is_example, values, refused=(sentence,))
    return Worked(one, texts, is_example, values, answer)


def _read(one: Sum, texts: Mapping[str, str]) -> tuple[dict[str, Any], dict[str, str]]:
    values: dict[str, Any] = {}
    wrong: dict[str, str] = {}
    for each in one.inputs:
        try:
            values[each.name] = each.taken(texts[each.name])
        except ValueError as refusal:
            wrong[each.name] = shown_text(str(refusal))
    return values, wrong


def _not_asked(one: Sum, name: str) -> str:
    asked = ", ".join(each.name for each in one.inputs)
    return f"This sum does not ask for “{shown_text(name[:40])}”; it asks for {asked}."


def _about(one: Sum, sentence: str) -> tuple[str, str]:
    """Which input a refusal of the core is about, and the sentence with the input's label in it."""
    first, _, rest = sentence.partition(" ")
    named = one.input_named(first)
    return (named.name, f"“{named.label}” {rest}") if named else ("", sentence)


def _refuse_nonsense(answer: Answer) -> None:
    cells: list[Value] = [result.value for result in answer.results]
    cells += [cell for table in answer.tables for row in table.rows for cell in row]
    if any(isinstance(cell, float) and math.isnan(cell) for cell in cells):
        raise ArithmeticError
