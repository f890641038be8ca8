"""The demo is a season that could have been: made by chance, always of today, its cast complete."""

import os
import stat
import subprocess
import sys
import time
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta, timezone
from importlib.resources import files
from pathlib import Path

import pytest

import rounds
from rounds.clock import SetClock, from_seconds
from rounds.core.collection import Plant
from rounds.core.log.effective import EffectiveLook
from rounds.core.quarantine.criteria import (
    CHANCE_CLEAN,
    COURSES,
    DEGREE_DAYS,
    MEDIUM_AND_ROOTS,
)
from rounds.errors import BadInput
from rounds.service.day.at_hand import day_of
from rounds.service.demo import DemoCopy, make_demo
from rounds.service.growth.rising import growth_on
from rounds.service.inference.day import CollectionDay, record_of, records
from rounds.service.logbook.book import Logbook
from rounds.service.plan.today import plan_day
from rounds.service.plant.record import PlantRecord
from rounds.service.plant.status import seen_status
from rounds.service.round import begin
from rounds.service.round.at_hand import PlantAtHand
from rounds.store import log, walks

TODAY = date(2026, 5, 4)
FIRST_DAY = TODAY - timedelta(days=70)
SCRIPT = Path(__file__).parents[2] / "demo" / "make_season.py"
SEASON = files("rounds") / "demo" / "season.jsonl"
LIGHTEST_BYTES, HEAVIEST_BYTES = 50_000, 150_000


def noon(day: date) -> SetClock:
    return SetClock(datetime(day.year, day.month, day.day, 12, tzinfo=UTC))


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> DemoCopy:
    return make_demo(tmp_path_factory.mktemp("demo") / "season.db", noon(TODAY))


@pytest.fixture(scope="module")
def season(copy: DemoCopy) -> Iterator[Logbook]:
    with Logbook(copy.path, noon(TODAY)) as opened:
        yield opened


@pytest.fixture(scope="module")
def cast(season: Logbook) -> dict[str, PlantRecord]:
    """Where every plant stands today, by the name it has."""
    return {record.name(): record for record in records(season, TODAY)}


def ago(days: int) -> date:
    return TODAY - timedelta(days=days)


def found_from(record: PlantRecord, first: date, before: date) -> int:
    return sum(look.live() for look in record.log if first <= look.day < before)


def unmet(record: PlantRecord) -> set[str]:
    assert record.forecast is not None
    return {c.code for c in record.forecast.criteria if c.met is not True}


def all_looks(cast: dict[str, PlantRecord]) -> list[tuple[PlantRecord, EffectiveLook]]:
    return [(record, look) for record in cast.values() for look in record.log]


# how it is made


def in_a_process(*arguments: str, cwd: Path) -> str:
    house = str(Path(rounds.__file__).parents[1])
    done = subprocess.run(
        [sys.executable, *arguments],
        cwd=cwd,
        env={**os.environ, "PYTHONPATH": house},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_making_the_season_again_gives_the_same_bytes(tmp_path: Path) -> None:
    again = tmp_path / "season.jsonl"
    in_a_process(str(SCRIPT), str(again), cwd=tmp_path)
    assert again.read_bytes() == SEASON.read_bytes()


def test_the_season_is_a_small_text() -> None:
    content = SEASON.read_bytes()
    assert LIGHTEST_BYTES < len(content) < HEAVIEST_BYTES
    assert b"\r" not in content
    assert content.decode("utf-8").endswith("\n")


def test_a_copy_can_be_made_from_any_folder(tmp_path: Path) -> None:
    code = (
        "from rounds.clock import Clock; from rounds.service.demo import make_demo; "
        "from pathlib import Path; print(make_demo(Path('here.db'), Clock()).rounds)"
    )
    assert int(in_a_process("-c", code, cwd=tmp_path)) > 50
    assert (tmp_path / "here.db").exists()


def test_a_file_that_is_there_is_left_alone(tmp_path: Path) -> None:
    kept = tmp_path / "mine.db"
    kept.write_text("mine")
    with pytest.raises(BadInput) as refused:
        make_demo(kept, noon(TODAY))
    assert refused.value.code == "demo-path-exists"
    assert str(kept) in refused.value.message
    assert kept.read_text() == "mine"


def test_without_a_path_every_copy_is_a_private_file_of_its_own(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    first, second = (make_demo(None, noon(TODAY)).path for _ in range(2))
    assert first != second
    for path in (first, second):
        assert path.is_relative_to(tmp_path)
        assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700


# what a copy holds


def test_it_says_how_much_it_holds(copy: DemoCopy, season: Logbook) -> None:
    assert copy.plants == len(season.collection().plants) == 23
    walked = [walks.rounds_on(season.file, ago(back), "walked") for back in range(71)]
    assert copy.rounds == sum(map(len, walked))
    assert 55 <= copy.rounds <= 68


@pytest.mark.parametrize("today", [date(2024, 2, 29), date(2026, 11, 2), date(2027, 1, 1)])
def test_it_ends_yesterday_whatever_day_it_is(tmp_path: Path, today: date) -> None:
    copied = make_demo(tmp_path / "season.db", noon(today))
    with Logbook(copied.path, noon(today)) as logbook:
        looks = [look for e in logbook.all_entries(date.min, date.max).values() for look in e.looks]
        days = {look.day for look in looks}
        weather = {day for days in logbook.collection().weather.values() for day in days}
        first = {plant.first_day for plant in logbook.collection().plants.values()}
    assert max(days) == today - timedelta(days=1)
    assert min(first) == today - timedelta(days=70)
    assert max(weather) == today - timedelta(days=1)


def test_rounds_are_walked_in_the_morning_by_the_clock_on_the_wall(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    zone = timezone(timedelta(hours=12))
    monkeypatch.setenv("TZ", "FAR-12")
    time.tzset()
    try:
        copied = make_demo(tmp_path / "season.db", noon(TODAY))
        with Logbook(copied.path, noon(TODAY)) as logbook:
            looks = [
                look for e in logbook.all_entries(date.min, date.max).values() for look in e.looks
            ]
    finally:
        monkeypatch.undo()
        time.tzset()
    walked = [look for look in looks if not look.unpotted]
    local = [(look.day, from_seconds(look.began_at).astimezone(zone)) for look in walked]
    assert all(day == at.date() for day, at in local)
    assert all(6 <= at.hour < 9 for _, at in local)


def test_every_round_was_ended_and_nobody_signed_it(season: Logbook) -> None:
    assert walks.unfinished_rounds(season.file) == []
    walked = [w for back in range(71) for w in walks.rounds_on(season.file, ago(back), "walked")]
    assert {(walk.who, walk.minutes) for walk in walked} == {(None, 10.0)}
    minutes = [(walk.ended_at - walk.began_at) / 60 for walk in walked if walk.ended_at]
    assert len(minutes) == len(walked)
    assert 9 < sum(minutes) / len(minutes) < 12
    assert len({walk.day for walk in walked}) == len(walked)


def test_some_rounds_were_broken_off_and_every_step_says_how_it_came_out(season: Logbook) -> None:
    outcomes = [
        step.ended_as
        for back in range(71)
        for walk in walks.rounds_on(season.file, ago(back), "walked")
        for step in walks.steps_of(season.file, walk.id)
    ]
    assert set(outcomes) == {"looked-at", "not-looked-at"}
    assert outcomes.count("not-looked-at") < len(outcomes) / 20


def test_entries_stand_in_the_order_they_were_made(season: Logbook) -> None:
    for entries in season.all_entries(date.min, TODAY).values():
        looks = sorted(entries.looks, key=lambda look: look.id)
        assert [look.began_at for look in looks] == sorted(look.began_at for look in looks)
        opened = {look.id: look for look in looks}
        for tally in entries.tallies:
            look = opened[tally.look_id]
            assert tally.id > look.id
            assert look.began_at * 1000 <= tally.at_ms
            assert tally.at_ms <= (look.began_at + look.seconds + 1) * 1000


def test_looks_are_of_zones_the_plant_has_and_take_the_time_the_finds_took(
    cast: dict[str, PlantRecord], season: Logbook
) -> None:
    per_find = season.parameters.inspection.seconds_per_find
    for record, look in all_looks(cast):
        assert look.zone in {zone.zone for zone in record.body.zones}
        assert look.seconds > per_find * look.counted() or look.outcome == "cannot-see"


def test_the_porch_has_a_temperature_for_every_day_and_grows_milder(season: Logbook) -> None:
    collection = season.collection()
    entered = {collection.places[place].name: days for place, days in collection.weather.items()}
    assert set(entered) == {"porch shelf", "seedling bench"}
    for days in entered.values():
        assert set(days) == {ago(back) for back in range(1, 71)}
        assert all(8 < day.min_c < day.max_c < 32 for day in days.values())
        means = [(days[ago(back)].min_c + days[ago(back)].max_c) / 2 for back in range(1, 71)]
        assert sum(means[:14]) / 14 > sum(means[-14:]) / 14 + 2
    stair = collection.place("stair foot")
    assert stair is not None
    assert stair.apart(TODAY)
    assert stair.usual_c(TODAY) == 18.0


# its cast


def test_growth_forms_and_sizes_are_many(cast: dict[str, PlantRecord]) -> None:
    assert len({record.body.form for record in cast.values()}) >= 7
    assert {record.body.size for record in cast.values()} == {"small", "medium", "large"}


def test_becket_came_yesterday_and_was_never_seen(cast: dict[str, PlantRecord]) -> None:
    becket = cast["Becket"]
    assert becket.standing == "quarantine"
    assert becket.standing_since == ago(1)
    assert becket.log == ()


def test_lanyard_stands_apart_with_finds_that_fall(cast: dict[str, PlantRecord]) -> None:
    lanyard = cast["Lanyard"]
    assert lanyard.standing == "quarantine"
    assert lanyard.standing_since > FIRST_DAY
    assert lanyard.place_name() == "stair foot"
    middle = lanyard.standing_since + (TODAY - lanyard.standing_since) / 2
    before = found_from(lanyard, lanyard.standing_since, middle)
    after = found_from(lanyard, middle, TODAY)
    assert before >= 5
    assert 0 < after <= before / 2
    assert lanyard.streak.looks >= 3


def test_bollard_waits_for_nothing_but_the_chance(cast: dict[str, PlantRecord]) -> None:
    bollard = cast["Bollard"]
    assert bollard.standing == "quarantine"
    assert unmet(bollard) <= {CHANCE_CLEAN}
    assert bollard.last_find_on is not None
    assert (TODAY - bollard.last_find_on).days > 30
    assert any(look.zone == "roots" and look.unpotted for look in bollard.log)
    recent = [d.day for d in bollard.days(bollard.pest) if d.day >= ago(14)]
    assert len(recent) >= 6


def test_pintle_is_in_trouble(cast: dict[str, PlantRecord]) -> None:
    pintle = cast["Pintle"]
    assert pintle.standing == "quarantine"
    last, before = found_from(pintle, ago(7), TODAY), found_from(pintle, ago(14), ago(7))
    assert before >= 8
    assert last >= before
    assert pintle.last_find_on is not None
    assert (TODAY - pintle.last_find_on).days <= 3


def test_finds_rise_beyond_chance_on_the_day_a_reader_of_the_counts_would_say_so(
    cast: dict[str, PlantRecord], season: Logbook
) -> None:
    # Pintle: what was lifted fell to nothing on two looks, then came 4, 1, 3, 4, 5; Capstan: 0, 1,
    # 1, then 7 where most looks over the same time had found nothing
    for name, counts, days_ago in (("Pintle", [0, 4, 1, 3, 4, 5], 9), ("Capstan", [0, 1, 1, 7], 4)):
        plant = cast[name].plant
        on = record_of(season, plant, ago(days_ago))
        told = growth_on(on)
        assert told is not None
        counted = on.of_pest(on.pest).counted
        assert [of.found for of in counted][-len(counts) :] == counts
        assert (told.growth.looks, told.alarm_on) == (len(counts), ago(days_ago))
        before = growth_on(record_of(season, plant, ago(days_ago + 1)))
        assert before is None or before.alarm_on is None
        assert growth_on(cast[name]) is not None
        assert seen_status(cast[name]).growth.alarm_on == ago(days_ago)  # type: ignore[union-attr]


def test_marline_waits_for_warmth_and_its_roots_are_due(
    cast: dict[str, PlantRecord], season: Logbook
) -> None:
    marline = cast["Marline"]
    assert marline.last_find_on is not None
    assert marline.streak.looks >= 8
    assert {DEGREE_DAYS, MEDIUM_AND_ROOTS} <= unmet(marline)
    due = {(due.status.code, due.kind) for due in day_of(season, TODAY).due}
    assert (marline.plant.code, "roots") in due


def test_marline_is_on_a_course_of_sprays_with_the_last_one_to_come(
    cast: dict[str, PlantRecord],
) -> None:
    (course,) = cast["Marline"].courses
    assert [step.done_on for step in course.course.steps] == [ago(20), ago(13), ago(6), None]
    assert (course.due_on, course.number, course.of) == (ago(-1), 4, 4)
    assert COURSES in unmet(cast["Marline"])
    assert [record.name() for record in cast.values() if record.courses] == ["Marline"]


def test_capstan_cannot_be_moved_and_was_found_alive_lately(cast: dict[str, PlantRecord]) -> None:
    capstan = cast["Capstan"]
    assert capstan.standing == "collection"
    assert capstan.last_find_on is not None
    assert (TODAY - capstan.last_find_on).days <= 3


def test_halyard_rejoined_when_all_but_the_chance_was_met(
    cast: dict[str, PlantRecord], season: Logbook
) -> None:
    halyard = cast["Halyard"]
    assert halyard.standing == "watch"
    assert halyard.place_name() == "porch shelf"
    (period,) = halyard.plant.periods
    assert period.ended_on is not None
    assert period.early
    assert period.reason
    assert unmet(record_of(season, halyard.plant, period.ended_on - timedelta(days=1))) <= {
        CHANCE_CLEAN
    }


def test_a_few_plants_have_not_been_seen_for_ten_days(cast: dict[str, PlantRecord]) -> None:
    long_unseen = [
        record
        for record in cast.values()
        if record.standing == "collection"
        and record.last_look_on is not None
        and (TODAY - record.last_look_on).days >= 10
    ]
    assert 2 <= len(long_unseen) <= 5


def test_doubts_were_settled_and_one_is_open(cast: dict[str, PlantRecord]) -> None:
    assert sum(doubt.count for record in cast.values() for doubt in record.open_doubts) == 1
    settled = {t.settled_as for _, look in all_looks(cast) for t in look.tallies}
    assert settled >= {"remains", "not-an-insect"}


def test_something_left_there_is_asked_about(cast: dict[str, PlantRecord], season: Logbook) -> None:
    def waits(plant: Plant) -> bool:
        at_hand = PlantAtHand(season, plant.id, CollectionDay(season, TODAY))
        return any(at_hand.left_there_at(zone.zone) for zone in at_hand.body.outside)

    assert any(waits(record.plant) for record in cast.values())


def test_most_plants_never_had_a_find(cast: dict[str, PlantRecord]) -> None:
    found = {record.name() for record in cast.values() if record.last_find_on}
    assert found == {"Lanyard", "Bollard", "Pintle", "Marline", "Capstan"}


def test_finds_have_stages_given_after_the_count_as_at_the_keyboard(
    cast: dict[str, PlantRecord],
) -> None:
    live = [t for _, look in all_looks(cast) for t in look.tallies if t.is_live]
    assert {t.kind for t in live} == {"removed", "killed", "left"}
    assert {"young", "adult", None} <= {t.stage for t in live}
    given = sum(len(record.entries.stages) for record in cast.values())
    assert given == sum(1 for t in live if t.stage)
    assert all(t.stage is None for r in cast.values() for t in r.entries.tallies)


def test_ten_minutes_hold_each_plant_found_alive_on_wherever_it_stands(season: Logbook) -> None:
    plan = plan_day(season, TODAY, 10.0)
    planned = {p.status.code: p for p in plan.plan}
    # of Lanyard the sums say so, though nothing was found for nine days
    assert {code for code, p in planned.items() if p.claim == "alive"} == {"G06", "G07", "S03"}
    assert not [left for left in plan.due_waits if left.status.claim.code == "alive"]
    capstan = planned["G06"]
    assert capstan.status.standing == "collection"
    assert capstan.planned_seconds >= 120
    assert plan.filled_seconds <= 600
    assert plan.needed_minutes > 10


def test_a_round_can_be_begun_on_it(tmp_path: Path) -> None:
    copied = make_demo(tmp_path / "season.db", noon(TODAY))
    with Logbook(copied.path, noon(TODAY)) as logbook:
        walk = begin(logbook, plan_day(logbook, TODAY))
        assert walk.view().plants >= 5
        counted = walk.count("removed")
        assert counted.zone is not None
        assert counted.zone.counts.removed == 1
        entered = log.entries_by_plant(logbook.file, TODAY, TODAY)
    assert [t.kind for e in entered.values() for t in e.tallies] == ["removed"]
