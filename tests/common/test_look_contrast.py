"""The tones of the sheet: read from the tokens, measured against WCAG 2.2 and for the colour-blind.

Contrast follows WCAG 2.2, success criteria 1.4.3 and 1.4.11. Colour-blind sight is simulated with the matrices for
full severity of Machado, Oliveira and Fernandes, "A physiologically-based model for simulation of color vision
deficiency", IEEE Transactions on Visualization and Computer Graphics 15(6), 2009. Distances are CIE 1976 (L*a*b*, D65).
"""

import re
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest

from restoration.common.templatetags.look import SHAPES

ROOT = Path(__file__).resolve().parents[2]
TOKENS = (ROOT / "static/css/tokens.css").read_text()
MARKS = (ROOT / "templates/_components/marks.html").read_text()

TEXT_TONES = ["ink", "quiet", "rule", "not-done", "in-hand", "passed", "concession", "failed", "doubt", "withdrawn"]
GROUNDS = ["sheet", "paper", "shade"]
STANDING_TONES = ["not-done", "in-hand", "passed", "concession", "failed", "doubt"]
SIGHT = {
    "protanopia": [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]],
    "deuteranopia": [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]],
    "tritanopia": [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]],
}
LEAST_DISTANCE = 10.0  # common practice, no source: well above the 2.3 that is just noticeable


def tokens(scheme: str) -> dict[str, str]:
    light, dark = TOKENS.split("prefers-color-scheme: dark")
    found = dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6});", light))
    return found if scheme == "light" else found | dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6});", dark))


def linear(colour: str) -> np.ndarray:
    coded = np.array([int(colour[place : place + 2], 16) for place in (1, 3, 5)]) / 255
    return np.where(coded <= 0.04045, coded / 12.92, ((coded + 0.055) / 1.055) ** 2.4)


def contrast(one: str, other: str) -> float:
    weights = np.array([0.2126, 0.7152, 0.0722])
    darker, lighter = sorted(float(linear(colour) @ weights) for colour in (one, other))
    return (lighter + 0.05) / (darker + 0.05)


def lab(light: np.ndarray) -> np.ndarray:
    to_xyz = np.array(
        [[0.4124564, 0.3575761, 0.1804375], [0.2126729, 0.7151522, 0.0721750], [0.0193339, 0.1191920, 0.9503041]]
    )
    share = to_xyz @ np.clip(light, 0, 1) / (to_xyz @ np.ones(3))
    curve = np.where(share > (6 / 29) ** 3, np.cbrt(share), share / (3 * (6 / 29) ** 2) + 4 / 29)
    return np.array([116 * curve[1] - 16, 500 * (curve[0] - curve[1]), 200 * (curve[1] - curve[2])])


def distance(one: str, other: str, sight: str) -> float:
    seen = [lab(np.array(SIGHT[sight]) @ linear(colour)) for colour in (one, other)]
    return float(np.linalg.norm(seen[0] - seen[1]))


def test_black_on_white_is_the_greatest_contrast() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21)


@pytest.mark.parametrize("sight", SIGHT)
def test_simulated_sight_leaves_greys_grey(sight: str) -> None:
    assert np.allclose(np.array(SIGHT[sight]) @ np.ones(3), 1, atol=2e-6)


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("tone", TEXT_TONES)
def test_every_tone_of_text_can_be_read(scheme: str, ground: str, tone: str) -> None:
    named = tokens(scheme)
    assert contrast(named[tone], named[ground]) >= 4.5


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize(
    ("over", "under", "least"),
    [
        ("act-ink", "act", 4.5),
        ("act-ink", "act-over", 4.5),
        ("ink", "caution", 7.0),
        ("edge", "sheet", 3.0),
        ("edge", "shade", 3.0),
    ],
)
def test_actions_cautions_and_edges_stand_out(scheme: str, over: str, under: str, least: float) -> None:
    named = tokens(scheme)
    assert contrast(named[over], named[under]) >= least


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("shape", sorted(set(SHAPES.values()) - {"void"}))
def test_the_line_cut_into_a_mark_stands_out(scheme: str, shape: str) -> None:
    named = tokens(scheme)
    assert contrast(named["sheet"], named[shape]) >= 3.0


def test_each_standing_has_a_shape_of_its_own() -> None:
    drawn = dict(re.findall(r'<symbol id="mark-([a-z-]+)" viewBox="0 0 24 24">(.*?)</symbol>', MARKS))
    assert len(set(SHAPES.values())) == len(SHAPES)
    assert set(drawn) == set(SHAPES.values())
    assert len(set(drawn.values())) == len(drawn)


def test_no_mark_has_a_colour_of_its_own() -> None:
    assert not re.search(r"#[0-9a-fA-F]{3,6}\b(?!-)", re.sub(r'id="[^"]*"', "", MARKS))


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("sight", SIGHT)
def test_tones_of_standing_are_told_apart_by_the_colour_blind(scheme: str, sight: str, record_property: object) -> None:
    named = tokens(scheme)
    apart = {pair: distance(named[pair[0]], named[pair[1]], sight) for pair in combinations(STANDING_TONES, 2)}
    record_property("distances", {" / ".join(pair): round(value, 1) for pair, value in apart.items()})  # type: ignore[operator]
    close = {" / ".join(pair): round(value, 1) for pair, value in apart.items() if value < LEAST_DISTANCE}
    assert not close, f"Too near to one another under {sight}: {close}"
