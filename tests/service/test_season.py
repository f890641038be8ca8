"""What a season's finds say: told from enough finds on, used only when taken, taken back whole."""

from collections.abc import Callable
from datetime import date, timedelta

import pytest

from rounds.clock import SetClock
from rounds.core.collection import Plant
from rounds.errors import BadInput
from rounds.service.entries.looks import LookWritten
from rounds.service.inference.day import CollectionDay
from rounds.service.inference.kept import NotKept, only_kept
from rounds.service.learned.season import (
    ARRIVALS,
    GROUPS,
    WANDERING,
    ZONES,
    Season,
    revoke,
    take,
    taken,
)
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import now
from rounds.store.derived import forget_all

TODAY = date(2026, 5, 4)
TOMORROW = TODAY + timedelta(1)
Add = Callable[..., Plant]
LookIn = Callable[..., LookWritten]


def before(days: int) -> date:
    return TODAY - timedelta(days)


def season(logbook: Logbook, on: date = TODAY) -> Season:
    return CollectionDay(logbook, on).season


def figures(logbook: Logbook, on: date = TODAY) -> list[tuple[float, float, float]]:
    records = CollectionDay(logbook, on).records.values()
    return [(r.likely.chance_clean, r.likely.risk.value, r.likely.left.mean) for r in records]


@pytest.fixture
def busy(add: Add, look: LookIn) -> None:
    """Eighteen deliveries of two sources; on fifteen plants insects at axils and undersides."""
    for number in range(18):
        code, came = f"G{number:02}", before(40 - number)
        source = "Cape Verd" if number % 2 else "the ferry"
        add(code, place="stair foot", arrived=came, on=came, source=source)
        for zone in ("new-growth", "undersides", "axils", "sheaths", "stem-base", "medium"):
            count = {"axils": 3, "undersides": 1}.get(zone, 0) if number < 15 else 0
            counts = {"removed": count} if count else {}
            look(code, came, zone, seconds=12.0 + 8 * count, counts=counts)


def test_below_thirty_finds_nothing_is_told_and_nothing_can_be_taken(
    busy: None, look: LookIn, logbook: Logbook, clock: SetClock
) -> None:
    # on the twenty-fifth day before fourteen plants had come with finds
    few = season(logbook, before(26))
    assert (few.finds, few.plants, few.needed) == (28, 14, 30)
    assert not few.is_offered
    assert all(few.of(group) == () for group in GROUPS)
    for group in GROUPS:
        with pytest.raises(BadInput) as refused:
            take(logbook, now(clock), few, group)
        assert refused.value.code == "learned-too-few"


def test_from_thirty_finds_on_it_says_how_the_season_differs(busy: None, logbook: Logbook) -> None:
    told = season(logbook)
    assert (told.finds, told.plants, told.arrived) == (30, 15, 18)
    by_zone = {of.row.code.rpartition(".")[2]: of for of in told.zones}
    # three quarters of all were at the axils, of which more is tucked away than of undersides
    assert by_zone["axils"].mean > 0.5 > by_zone["axils"].assumed
    assert by_zone["sheaths"].mean < by_zone["sheaths"].assumed
    assert "roots" not in by_zone
    assert all(of.low < of.mean < of.high for of in told.zones)
    whole = sum(of.assumed for of in told.zones)
    assert sum(of.mean for of in told.zones) == pytest.approx(whole)
    assert told.arrivals is not None
    assert told.arrivals.mean > 0.6 > told.arrivals.assumed
    assert [(s.source, s.plants, s.infested) for s in told.sources] == [
        ("Cape Verd", 9, 7),
        ("the ferry", 9, 8),
    ]
    assert told.sources[0].mean < told.sources[1].mean


def test_nothing_of_it_is_used_before_it_is_taken(busy: None, logbook: Logbook) -> None:
    day = CollectionDay(logbook, TODAY)
    before_asked = figures(logbook)
    assert day.season.is_offered
    assert day.parameters == logbook.parameters
    assert logbook.collection().changes == ()
    assert figures(logbook) == before_asked


@pytest.mark.parametrize("group", [ZONES, ARRIVALS])
def test_taken_it_holds_from_that_day_on_and_taken_back_to_the_digit_as_before(
    busy: None, logbook: Logbook, clock: SetClock, group: str
) -> None:
    today, earlier = figures(logbook), figures(logbook, before(3))
    told = season(logbook)
    entries = take(logbook, now(clock), told, group)
    assert len(entries) == len(told.of(group))
    rows = taken(logbook, TODAY)
    assert {row.code for row in rows} == {of.row.code for of in told.of(group)}
    assert all("learned from" in (row.change.why or "") for row in rows if row.change)
    day = CollectionDay(logbook, TODAY)
    if group == ZONES:
        shares = {share.zone: share.weight for share in day.parameters.forms["leafy-plant"]}
        assert (
            shares["axils"] == pytest.approx(told.zones[2].mean, abs=6e-4) or shares["axils"] > 0.5
        )
        assert shares["roots"] == pytest.approx(0.05)
        assert sum(shares.values()) == pytest.approx(1.0)
    else:
        assert day.parameters.infestation.priors["arrival"].chance > 0.6
    changed = figures(logbook)
    moved = [now != was for now, was in zip(changed, today, strict=True)]
    # how likely a new plant was infested is nothing to one on which something was found since
    assert moved == [True] * 18 if group == ZONES else moved == [False] * 15 + [True] * 3
    # the past is told with what held then
    assert figures(logbook, before(3)) == earlier
    # every changed value stands on every page that says what was changed
    assert {c.code for c in day.changed_values} == {row.code for row in rows}
    revoke(logbook, now(clock), group)
    assert figures(logbook) == today
    assert taken(logbook, TODAY) == ()
    with pytest.raises(BadInput) as refused:
        revoke(logbook, now(clock), group)
    assert refused.value.code == "learned-none-taken"


def test_what_was_taken_does_not_feed_itself(busy: None, logbook: Logbook, clock: SetClock) -> None:
    told = season(logbook)
    take(logbook, now(clock), told, ZONES)
    again = season(logbook)
    assert [of.mean for of in again.zones] == [of.mean for of in told.zones]


def test_it_is_kept_and_comes_out_the_same_once_forgotten(busy: None, logbook: Logbook) -> None:
    with only_kept(logbook), pytest.raises(NotKept):
        season(logbook)
    told = season(logbook)
    with only_kept(logbook):
        assert season(logbook) == told
    forget_all(logbook.file)
    assert season(logbook) == told


def test_what_is_found_today_is_told_tomorrow(busy: None, look: LookIn, logbook: Logbook) -> None:
    look("G16", TODAY, "sheaths", seconds=20.0, counts={"removed": 1})
    assert season(logbook).finds == 30
    assert season(logbook, TOMORROW).finds == 31


@pytest.fixture
def in_the_collection(busy: None, add: Add, look: LookIn) -> None:
    """Twelve plants long among the others, looked at weekly; on five of them one find each."""
    for number in range(12):
        code = f"C{number:02}"
        add(code, place="porch shelf", on=before(120))
        for week in range(15):
            for zone in ("axils", "undersides", "new-growth", "sheaths"):
                counts = {"removed": 1} if number < 5 and week == 12 and zone == "axils" else {}
                seconds = 40.0 + 8 * bool(counts)
                look(code, before(110 - 7 * week), zone, seconds=seconds, counts=counts)


def test_finds_on_plants_long_clean_tell_how_many_wander_in(
    in_the_collection: None, logbook: Logbook, clock: SetClock
) -> None:
    told = season(logbook)
    # those that stood in quarantine all the time tell nothing of it
    assert told.looked == 12
    (of,) = told.of(WANDERING)
    assert of.row.code == "infestation.arrivals.collection"
    assert of.assumed == pytest.approx(0.001)
    assert of.low < of.mean < of.high
    assert of.mean > 2 * of.assumed
    before_taken = figures(logbook)
    take(logbook, now(clock), told, WANDERING)
    day = CollectionDay(logbook, TODAY)
    assert day.parameters.infestation.arrivals_collection == pytest.approx(of.mean, abs=1e-5)
    changed = figures(logbook)
    assert changed != before_taken
    # the rate in use does not feed itself, but for what neighbours are reckoned to send
    assert season(logbook).of(WANDERING)[0].mean == pytest.approx(of.mean, rel=0.02)
    revoke(logbook, now(clock), WANDERING)
    assert figures(logbook) == before_taken


def test_plants_on_which_nothing_was_found_lower_it(
    add: Add, look: LookIn, busy: None, logbook: Logbook
) -> None:
    for number in range(12):
        add(f"C{number:02}", place="porch shelf", on=before(120))
        for week in range(15):
            look(f"C{number:02}", before(110 - 7 * week))
    (of,) = season(logbook).of(WANDERING)
    assert of.mean < of.assumed
