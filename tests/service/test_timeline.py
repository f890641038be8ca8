"""The history of a plant as its pages read it: visits, what became of entries, and changes."""

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta

import pytest

from rounds.clock import SetClock
from rounds.core.collection import Plant
from rounds.service.collection.plants import PlantDetails, add_plant, move_plant, plant_gone
from rounds.service.collection.release import end_quarantine
from rounds.service.day.at_hand import day_of
from rounds.service.entries.corrections import replace_look, replace_tally, settle, withdraw
from rounds.service.entries.looks import LookEntered, LookWritten, enter_look
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import Moment, local_noon, now
from rounds.service.plant.detail import PlantDetail
from rounds.service.plant.doubts import open_doubts
from rounds.service.plant.timeline import HistoryLine
from rounds.service.plant.visits import EntryLine
from rounds.service.round import RoundWalk
from tests.days import detail_of

TODAY = date(2026, 5, 4)

Add = Callable[..., Plant]
LookIn = Callable[..., LookWritten]


def before(days: int) -> date:
    return TODAY - timedelta(days)


@pytest.fixture
def moment(clock: SetClock) -> Moment:
    return now(clock)


def detail(logbook: Logbook, code: str = "G02", on: date = TODAY) -> PlantDetail:
    plant = logbook.collection().plant(code)
    assert plant is not None
    return detail_of(record_of(logbook, plant, on))


def texts(lines: tuple[HistoryLine, ...]) -> list[tuple[date, str]]:
    return [(line.day, line.text) for line in lines]


def entries(logbook: Logbook, index: int = 0) -> tuple[EntryLine, ...]:
    visit = detail(logbook).history[index].visit
    assert visit is not None
    return visit.entries()


def test_a_visit_says_what_was_found_zone_by_zone(add: Add, look: LookIn, logbook: Logbook) -> None:
    add("G02", on=before(9))
    look("G02", before(2), "axils", counts={"removed": 2, "left": 1})
    look("G02", before(2), "medium", counts={"doubtful": 1})
    look("G02", before(1), seconds=60)
    clean, finds, came = detail(logbook).history
    assert finds.visit is not None
    assert finds.text == "2 removed, 1 untouched at axils; 1 unsure at medium"
    assert finds.short == "2 removed, 1 untouched, 1 unsure"
    assert (finds.visit.found, finds.visit.open_doubts) == (3, 1)
    assert (clean.text, clean.short) == ("nothing at 7 zones, 1:00 min", "nothing")
    assert (came.text, came.visit) == ("came to porch shelf", None)
    assert detail(logbook).status.looks == 2


def test_one_person_and_another_made_two_visits(add: Add, logbook: Logbook) -> None:
    add("G02", on=before(9))
    for who in ("Keeper", "Mate"):
        moment = Moment(before(1), datetime(2026, 5, 3, 9, tzinfo=UTC), who)
        enter_look(logbook, moment, "G02", LookEntered(("axils",), 20.0))
    assert [line.who for line in detail(logbook).history] == ["Mate", "Keeper", None]


def test_noon_of_an_entry_without_a_time_is_not_said(
    add: Add, look: LookIn, walk: Callable[[], RoundWalk], logbook: Logbook, clock: SetClock
) -> None:
    add("G02", on=before(9))
    look("G02", before(1), "axils")
    assert detail(logbook).history[0].time == ""
    walked = walk()
    walked.go_on()
    local = clock.instant.astimezone()
    assert detail(logbook).history[0].time == f"{local.hour}:{local.minute:02d}"


def test_what_became_of_an_entry_is_said_and_it_stays_in_its_place(
    add: Add, look: LookIn, logbook: Logbook, moment: Moment
) -> None:
    add("G02", on=before(9))
    counts = {"removed": 3, "doubtful": 1}
    first = look("G02", before(1), "axils", counts=counts, stage="adult")
    look("G02", before(1), "medium", seconds=5)
    off, doubt = first.tally_ids
    replace_tally(logbook, moment, off, kind="removed", count=4, stage=None)
    settle(logbook, moment, doubt, "remains")
    replace_look(logbook, moment, first.look_ids[0], zone="pot-rim", seconds=30)
    said = [(e.zone, e.text, e.state, e.settled_as) for e in entries(logbook)]
    assert said == [
        ("axils", "1:00 min", "corrected", None),
        ("pot-rim", "0:30 min", "stands", None),
        ("pot-rim", "3 removed, adult", "corrected", None),
        ("pot-rim", "1 unsure, adult", "stands", "remains"),
        ("pot-rim", "4 removed", "stands", None),
        ("medium", "nothing, 0:05 min", "stands", None),
    ]
    assert [e.can_change for e in entries(logbook)] == [False, True, False, True, True, True]


def test_a_visit_taken_back_stays_in_sight(
    add: Add, look: LookIn, logbook: Logbook, moment: Moment
) -> None:
    add("G02", on=before(9))
    written = look("G02", before(1), "axils", counts={"removed": 1})
    withdraw(logbook, moment, written.look_ids[0])
    line = detail(logbook).history[0]
    assert (line.text, line.is_withdrawn) == ("withdrawn", True)
    assert [e.state for e in entries(logbook)] == ["taken-back", "taken-back"]
    assert detail(logbook).status.looks == 0


def test_a_look_in_progress_is_not_corrected_from_here(
    add: Add, walk: Callable[[], RoundWalk], logbook: Logbook
) -> None:
    add("G02", on=before(9))
    walked = walk()
    walked.count("removed")
    look, tally = entries(logbook)
    assert (look.state, look.can_change, tally.can_change) == ("open", False, True)
    walked.go_on()
    walked.take_back()
    assert [e.state for e in entries(logbook) if e.kind == "look"] == ["reopened", "open"]


@pytest.mark.parametrize(
    ("said", "text", "at_zone"),
    [
        (
            {"seconds": 0, "cannot_see": "too-dark"},
            "couldn't see: too dark",
            "couldn't see axils: too dark",
        ),
        (
            {"seconds": 0, "cannot_see": "a [wasp]"},
            "couldn't see: a [wasp]",
            "couldn't see axils: a [wasp]",
        ),
        ({"seconds": 0, "cannot_see": "no-reason"}, "couldn't see", "couldn't see axils"),
        ({"outcome": "partial"}, "left unfinished, 1:00 min", "axils left unfinished, 1:00 min"),
        ({}, "nothing, 1:00 min", "nothing at axils, 1:00 min"),
        ({"counts": {"left": 1}}, "1:00 min", "look at axils, 1:00 min"),
    ],
)
def test_how_a_look_came_out_is_said(
    add: Add, look: LookIn, logbook: Logbook, said: dict[str, object], text: str, at_zone: str
) -> None:
    add("G02", on=before(9))
    look("G02", before(1), "axils", **said)
    entry = entries(logbook)[0]
    assert (entry.text, entry.at_zone) == (text, at_zone)


def test_moves_times_apart_and_changes_stand_on_their_days(add: Add, logbook: Logbook) -> None:
    add("G02", on=before(60), note="a cutting")
    add("G04", "Cuddy", on=before(60))
    move_plant(logbook, local_noon(before(40)), "G02", "stair foot", spot="spot 3")
    changed = PlantDetails(size="large", note="", touches=("G04",))
    add_plant(logbook, local_noon(before(20)), "G02", changed, change=True)
    end_quarantine(logbook, local_noon(before(10)), "G02", "room needed")
    plant_gone(logbook, local_noon(before(3)), "G02", "given-away")
    lines = detail(logbook).history
    assert texts(lines) == [
        (before(3), "given away"),
        (before(10), "quarantine ended early: room needed"),
        (before(20), "note deleted; size large; touches G04"),
        (before(40), "in quarantine: moved there"),
        (before(40), "moved to stair foot, spot 3"),
        (before(60), "came to porch shelf"),
    ]
    assert [line.kind for line in lines] == ["gone", "ended", "record", "apart", "move", "came"]
    # and on an earlier day only what was known of it then
    assert texts(detail(logbook, on=before(30)).history) == texts(lines)[3:]


def test_the_newest_entry_is_the_one_made_last_whatever_day_it_is_about(
    add: Add, look: LookIn, logbook: Logbook, moment: Moment
) -> None:
    add("G02", on=before(9))
    assert detail(logbook).newest is None
    look("G02", before(1), "axils")
    late = look("G02", before(4), "medium", counts={"removed": 2}, stage="egg-mass")
    newest = detail(logbook).newest
    assert newest is not None
    assert (newest.entry, newest.text) == (
        late.tally_ids[0],
        "2 removed at medium, egg mass, 30 April",
    )
    withdraw(logbook, moment, newest.entry)
    newest = detail(logbook).newest
    assert newest is not None
    assert (newest.entry, newest.text) == (
        late.look_ids[0],
        "nothing at medium, 1:00 min, 30 April",
    )
    move_plant(logbook, moment, "G02", "seedling bench")
    newest = detail(logbook).newest
    assert newest is not None
    assert newest.text == "moved to seedling bench, today"
    withdraw(logbook, moment, newest.entry)
    assert detail(logbook).status.place == "porch shelf"


def test_doubts_of_all_plants_come_oldest_first(
    add: Add, look: LookIn, logbook: Logbook, moment: Moment
) -> None:
    for code in ("G02", "G04", "G11"):
        add(code, on=before(30))
    look("G11", before(2), "axils", counts={"doubtful": 1})
    look("G04", before(7), "medium", counts={"doubtful": 2})
    settled = look("G02", before(9), "axils", counts={"doubtful": 1}).tally_ids[0]
    look("G02", before(2), "axils", counts={"doubtful": 3})
    settle(logbook, moment, settled, "remains")
    found = open_doubts(day_of(logbook, TODAY).ordered)
    assert [(d.status.code, d.doubt.zone, d.doubt.day, d.doubt.count) for d in found] == [
        ("G04", "medium", before(7), 2),
        ("G02", "axils", before(2), 3),
        ("G11", "axils", before(2), 1),
    ]
    settle(logbook, moment, found[0].entry, "not-an-insect")
    assert [d.status.code for d in open_doubts(day_of(logbook, TODAY).ordered)] == ["G02", "G11"]
