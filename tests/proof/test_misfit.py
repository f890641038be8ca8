"""Whether finds fit: seldom doubted where all is as supposed, and told where it is not.

Plants and growers are those of the independent simulation; `python -m tests.proof.misfits` makes
more of them, with an eye half as good among others.
"""

import pytest

from tests.proof.misfits import TRUTHS, lots, named, told

WEEKLY = 2
PLANTS = 120
SEED = 1978


def test_of_plants_that_are_as_supposed_at_most_one_in_a_hundred_is_doubted() -> None:
    said = [
        kind
        for lot in lots(TRUTHS["as supposed"], 100, 9, SEED, rhythm=WEEKLY)
        for kind in told(lot, 100)
    ]
    assert len(said) > 20
    assert sum(kind is not None for kind in said) <= 3, "of 300"


@pytest.mark.xfail(
    strict=True,
    reason="told of 2 plants of 10, and of 5 of 24",
)
def test_a_second_colony_is_told_of_a_good_part_of_the_plants() -> None:
    (lot,) = lots(TRUTHS["a second colony"], 10, 3, SEED, rhythm=WEEKLY)
    said = [kind for kind in told(lot, 10) if kind is not None]
    assert len(said) >= 3
    assert "too-few" not in said


def of_all(truth: str) -> str | None:
    """What is named of a collection that is looked at weekly."""
    (lot,) = lots(TRUTHS[truth], PLANTS, 3, SEED, rhythm=WEEKLY)
    return named(lot, PLANTS)


def test_a_collection_that_is_as_supposed_fits() -> None:
    assert of_all("as supposed") is None


@pytest.mark.parametrize(
    ("truth", "name"),
    [
        ("more came infested", "start-likelier"),
        ("fifty times as many wander in", "arrivals-more"),
    ],
)
def test_what_is_not_as_supposed_in_a_collection_is_named(truth: str, name: str) -> None:
    assert of_all(truth) == name
