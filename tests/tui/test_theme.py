"""Every role can be read on its background; four of them also by those who see fewer colours."""

from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from rounds.errors import BadInput
from rounds.tui.app import RoundsApp
from rounds.tui.theme import ENVIRONMENT, NAMES, colours, colours_asked

LEAST = {"dark": 4.5, "light": 4.5, "contrast": 7.0, "safe": 4.5}
"""Contrast of text: WCAG 2.1, criteria 1.4.3 (4.5 to 1) and 1.4.6 (7 to 1)."""

MACHADO = {
    "protanopia": [
        [0.152286, 1.052583, -0.204868],
        [0.114503, 0.786281, 0.099216],
        [-0.003882, -0.048116, 1.051998],
    ],
    "deuteranopia": [
        [0.367322, 0.860646, -0.227968],
        [0.280085, 0.672501, 0.047413],
        [-0.011820, 0.042940, 0.968881],
    ],
}
"""Machado, Oliveira & Fernandes (2009), IEEE Transactions on Visualization and Computer Graphics
15(6), severity 1.0, on linear RGB. Written down from memory; each row adds up to 1."""

TOLD_APART = ("find", "apart", "doubt", "ask")
LEAST_DIFFERENCE = 20.0
"""CIE 1976 difference: an assumption; about 2.3 can just be noticed side by side."""

Colour = NDArray[np.float64]


def linear(colour: str) -> Colour:
    """Linear RGB, 0 to 1: IEC 61966-2-1."""
    parts = np.array([int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)])
    return np.where(parts <= 0.04045, parts / 12.92, ((parts + 0.055) / 1.055) ** 2.4)


def contrast(one: str, other: str) -> float:
    """WCAG 2.1: (lighter + 0.05) / (darker + 0.05), of relative luminance."""
    weights = np.array([0.2126, 0.7152, 0.0722])
    darker, lighter = sorted(float(weights @ linear(colour)) for colour in (one, other))
    return (lighter + 0.05) / (darker + 0.05)


def lab(rgb: Colour) -> Colour:
    """CIE L*a*b*, white D65."""
    to_xyz = np.array(
        [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
    )
    ratio = to_xyz @ np.clip(rgb, 0, 1) / (to_xyz @ np.ones(3))
    f = np.where(ratio > (6 / 29) ** 3, np.cbrt(ratio), ratio * (29 / 6) ** 2 / 3 + 4 / 29)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def difference(one: str, other: str, seen_as: list[list[float]]) -> float:
    matrix = np.array(seen_as)
    return float(np.linalg.norm(lab(matrix @ linear(one)) - lab(matrix @ linear(other))))


@pytest.mark.parametrize("name", NAMES)
def test_every_role_stands_out_from_the_background(name: str) -> None:
    of = dict(colours(name))
    background = of.pop("background")
    assert set(of) == {"ink", "quiet", "here", "find", "apart", "doubt", "ask"}
    ratios = {role: round(contrast(colour, background), 2) for role, colour in of.items()}
    assert {role: ratio for role, ratio in ratios.items() if ratio < LEAST[name]} == {}


def test_contrast_is_counted_as_the_standard_does() -> None:
    """Black on white is 21 to 1; #777777 on white is the well-known 4.48."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.005)


@pytest.mark.parametrize("seen_by", MACHADO)
def test_what_counts_is_told_apart_by_the_colour_blind(seen_by: str) -> None:
    of = colours("safe")
    found = {
        (one, other): round(difference(of[one], of[other], MACHADO[seen_by]), 1)
        for one, other in combinations(TOLD_APART, 2)
    }
    assert {pair: far for pair, far in found.items() if far < LEAST_DIFFERENCE} == {}


def test_rows_of_the_matrices_add_up_and_red_and_green_fall_together() -> None:
    for matrix in MACHADO.values():
        assert np.array(matrix).sum(axis=1) == pytest.approx([1, 1, 1], abs=1e-5)
    # two colours that differ for others only: else the simulation would simulate nothing
    seen = np.eye(3).tolist()
    for matrix in MACHADO.values():
        assert difference("#b06030", "#707020", matrix) < difference("#b06030", "#707020", seen) / 2


def test_colours_nobody_knows_are_answered_with_the_nearest(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv(ENVIRONMENT, "lihgt")
    with pytest.raises(BadInput, match="the nearest is light"):
        RoundsApp(tmp_path / "new.db")


def test_the_environment_says_which_colours(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.delenv(ENVIRONMENT, raising=False)
    assert colours_asked() is None
    assert RoundsApp(tmp_path / "new.db").theme == "rounds-dark"
    monkeypatch.setenv(ENVIRONMENT, "contrast")
    assert RoundsApp(tmp_path / "new.db").theme == "rounds-contrast"
