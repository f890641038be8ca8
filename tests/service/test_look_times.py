"""Times of looks in files: what is read fast is what is read at length."""

import time
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rounds.clock import SetClock
from rounds.errors import BadInput
from rounds.service.exchange.cells import moment
from rounds.service.exchange.look_times import LookTimes

CLOCK = SetClock(datetime(2026, 5, 4, 10, tzinfo=UTC))
LAYOUTS = (
    "{:%Y-%m-%d}", "{:%Y-%m-%d %H:%M}", "{:%Y-%m-%dT%H:%M}", "{:%Y-%m-%d %H:%M:%S}",
    "{:%Y-%m-%dT%H:%M:%S}", "{:%Y-%m-%dT%H:%M:%SZ}", "{:%Y-%m-%dT%H:%M:%S.%f}",
    "{:%Y-%m-%dT%H}", "{:%Y%m%dT%H%M%S}", "{:%Y-%m-%dT%H:%M}+01", "{:%Y-%m-%dT%H:%M:%S}-03:30",
)  # fmt: skip
SUMMER = datetime(2026, 3, 29, 1)
"""An hour before clocks are put forward in Hamburg."""
AT = datetime(2026, 3, 28, 23, 59, 59)


@pytest.fixture(scope="module", autouse=True)
def hamburg() -> Iterator[None]:
    """Local time is that of Hamburg."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TZ", "Europe/Berlin")
        time.tzset()
        yield
    time.tzset()


@settings(deadline=None)
@given(
    at=st.datetimes(datetime(1970, 1, 2), datetime(2037, 1, 1))
    | st.datetimes(SUMMER, SUMMER + timedelta(hours=3)),
    layout=st.sampled_from(LAYOUTS),
)
def test_a_time_is_read_fast_as_it_is_read_at_length(at: datetime, layout: str) -> None:
    times = LookTimes(CLOCK)
    text = layout.format(at)
    first = moment(CLOCK, text, "at")
    assert times.read(text) == (first.day, first.instant.timestamp())
    assert times.read_fast(text) in (None, times.read(text))


@pytest.mark.parametrize("text", [layout.format(AT) for layout in LAYOUTS[:5]])
def test_the_usual_ways_are_read_fast(text: str) -> None:
    times = LookTimes(CLOCK)
    assert times.read_fast(text) is None
    times.read(text)
    assert times.read_fast(text) == times.read(text)


@pytest.mark.parametrize(
    "text", ["2026-05-01 7:30", "2026-05-01 24:01", "2026-05-01 07:60", "2026-05-01 07-30", ""]
)
def test_what_is_no_time_is_left_to_be_told(text: str) -> None:
    times = LookTimes(CLOCK)
    assert times.read("2026-05-01") == (date(2026, 5, 1), times.read("2026-05-01 12:00")[1])
    assert times.read_fast(text) is None
    with pytest.raises(BadInput):
        times.read(text)
