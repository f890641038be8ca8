"""Whether finds fit: seldom doubted where all is as supposed, and told where it is not.

Plants and growers are those of the independent simulation; `python -m tests.proof.misfits` makes
more of them, with an eye half as good among others.
"""

import math

import pytest

from rounds.core.inference.misfit import Kind
from tests.proof.misfits import TRUTHS, lots, named, told

WEEKLY, EVERY_THIRD = 2, 1
PLANTS = 120
SEED, OTHERS = 1978, (23, 29)
"""of the lots looked at, and of those that chose nothing"""


def told_of(truth: str, plants: int, lots_of: int, seed: int, rhythm: int) -> list[Kind | None]:
    """What is said of each plant with finds."""
    every = lots(TRUTHS[truth], plants, lots_of, seed, rhythm=rhythm)
    return [kind for lot in every for kind in told(lot, plants)]


@pytest.mark.parametrize("rhythm", [EVERY_THIRD, WEEKLY])
def test_of_plants_with_finds_that_are_as_supposed_at_most_two_in_a_hundred_are_doubted(
    rhythm: int,
) -> None:
    said = told_of("as supposed", 100, 6, SEED, rhythm)
    assert len(said) > 20
    # 2 in 100, and 3 standard errors of so few
    most = 0.02 * len(said) + 3 * math.sqrt(0.02 * 0.98 * len(said))
    assert sum(kind is not None for kind in said) <= most


@pytest.mark.parametrize("seed", OTHERS)
def test_a_second_colony_is_told_of_most_plants(seed: int) -> None:
    said = [kind for kind in told_of("a second colony", 10, 3, seed, WEEKLY) if kind is not None]
    assert len(said) >= 6, "of ten; 77 of 90"
    assert "too-few" not in said


def of_all(truth: str, seed: int) -> str | None:
    """What is named of a collection that is looked at weekly."""
    (lot,) = lots(TRUTHS[truth], PLANTS, 3, seed, rhythm=WEEKLY)
    return named(lot, PLANTS)


@pytest.mark.parametrize("seed", OTHERS)
def test_a_collection_that_is_as_supposed_fits(seed: int) -> None:
    assert of_all("as supposed", seed) is None


@pytest.mark.parametrize("seed", OTHERS[:1])
@pytest.mark.parametrize(
    ("truth", "name"),
    [
        ("more came infested", "start-likelier"),
        ("fifty times as many wander in", "arrivals-more"),
    ],
)
def test_what_is_not_as_supposed_in_a_collection_is_named(truth: str, name: str, seed: int) -> None:
    assert of_all(truth, seed) == name
