"""What is dissolved stays: C1 V1 = C2 V2, and what cannot be mixed is refused.

The figures are worked out by hand from that rule, not published ones.
"""

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from rounds.core.estimates.dilution import (
    METRIC_CUP,
    US_CUP,
    Dilution,
    diluted,
    from_rate,
    measured,
)


@pytest.mark.parametrize(
    ("stock", "target", "volume", "of_stock", "of_water"),
    [
        (70, 20, 100, 28.6, 71.4),
        (70, 35, 100, 50.0, 50.0),
        (100, 2, 1000, 20.0, 980.0),
        (100, 1, 1000, 10.0, 990.0),
        # one part and 10.7 parts of water
        (35, 3, 11.667, 1.0, 10.7),
        (70, 70, 5, 5.0, 0.0),
    ],
)
def test_stock_and_water_of_a_weaker_liquid(
    stock: float, target: float, volume: float, of_stock: float, of_water: float
) -> None:
    made = diluted(stock, target, volume)
    assert made.stock == pytest.approx(of_stock, abs=0.05)
    assert made.water == pytest.approx(of_water, abs=0.05)


@given(
    stock=st.floats(0.1, 100),
    share=st.floats(0.001, 1),
    volume=st.floats(0.1, 1e6),
)
# the stock as it is: rounding must not ask for less water than none
@example(stock=2.373676403944348, share=1.0, volume=3.373676403944348)
def test_what_is_dissolved_stays_and_volumes_add_up(
    stock: float, share: float, volume: float
) -> None:
    made = diluted(stock, stock * share, volume)
    assert made.stock * stock == pytest.approx(volume * stock * share)
    assert made.stock + made.water == pytest.approx(volume)
    assert made.water >= 0


@pytest.mark.parametrize(
    ("stock", "target", "volume"),
    [(70, 80, 100), (0, 0, 100), (101, 50, 100), (70, 0, 100), (70, 20, 0), (70, 20, -1)],
)
def test_what_cannot_be_mixed_is_refused(stock: float, target: float, volume: float) -> None:
    with pytest.raises(ValueError, match="no mixture"):
        diluted(stock, target, volume)


def test_a_dilution_is_told_by_name() -> None:
    assert diluted(50, 25, 2) == Dilution(stock=1.0, water=1.0)


@pytest.mark.parametrize(
    ("rate", "volume", "of_stock", "of_water"),
    [(5, 1005, 5.0, 1000.0), (7.8125, 1007.8125, 7.8125, 1000.0), (20, 510, 10.0, 500.0)],
)
def test_a_label_gives_so_much_to_each_litre_of_water(
    rate: float, volume: float, of_stock: float, of_water: float
) -> None:
    made = from_rate(rate, volume)
    assert made.stock == pytest.approx(of_stock)
    assert made.water == pytest.approx(of_water)


@given(rate=st.floats(0.01, 500), volume=st.floats(10, 1e5))
def test_what_a_cup_shows_is_the_nearest_step_and_tells_its_error(
    rate: float, volume: float
) -> None:
    stock = from_rate(rate, volume).stock
    for cup in (METRIC_CUP, US_CUP):
        shown = measured(stock, cup)
        step = next(step for most, step in cup.steps if stock <= most)
        if shown is None:
            assert stock <= step / 2
            continue
        assert abs(shown.stock - stock) <= step / 2 + 1e-9
        assert shown.error == pytest.approx(shown.stock / stock - 1)
        assert shown.stock / step == pytest.approx(round(shown.stock / step))


def test_a_mixture_of_nothing_is_refused() -> None:
    for rate, volume in ((0, 100), (5, 0), (-1, 100)):
        with pytest.raises(ValueError, match="no mixture"):
            from_rate(rate, volume)
