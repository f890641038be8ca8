"""What was entered wrongly is put right: nothing is overwritten, and sums follow at once."""

from collections.abc import Callable
from datetime import date, timedelta

import pytest

from rounds.clock import SetClock
from rounds.core.collection import Plant
from rounds.core.log.effective import EffectiveLook
from rounds.errors import BadInput, Refused
from rounds.service.entries.corrections import (
    reopen_doubt,
    replace_look,
    replace_tally,
    settle,
    withdraw,
)
from rounds.service.entries.looks import LookWritten
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import Moment, now
from rounds.service.plant.events import LookMade, TallyEntered
from rounds.service.plant.history import history_of
from rounds.service.plant.record import PlantRecord
from rounds.service.round import RoundWalk
from rounds.store import log

TODAY = date(2026, 5, 4)
YESTERDAY = TODAY - timedelta(1)

Add = Callable[..., Plant]
LookIn = Callable[..., LookWritten]


@pytest.fixture
def moment(clock: SetClock) -> Moment:
    return now(clock)


@pytest.fixture
def counted(add: Add, look: LookIn) -> LookWritten:
    """Yesterday three taken off the axils of G02, which was here long before."""
    add("G02", on=TODAY - timedelta(90))
    return look("G02", YESTERDAY, "axils", counts={"removed": 3}, stage="adult", note="under wool")


def record(logbook: Logbook, on: date = TODAY) -> PlantRecord:
    plant = logbook.collection().plant("G02")
    assert plant is not None
    return record_of(logbook, plant, on)


def standing(logbook: Logbook, on: date = TODAY) -> list[EffectiveLook]:
    return list(record(logbook, on).log)


def made(logbook: Logbook) -> dict[str, LookMade]:
    return {look.id: look for look in history_of(record(logbook)).events.looks}


def tallies(logbook: Logbook) -> dict[str, TallyEntered]:
    return {tally.id: tally for look in made(logbook).values() for tally in look.tallies}


def test_a_count_put_in_the_place_of_another_carries_what_was_true_of_it(
    counted: LookWritten, logbook: Logbook, moment: Moment
) -> None:
    (before,) = standing(logbook)[0].tallies
    (old,) = counted.tally_ids
    new = replace_tally(logbook, moment, old, kind="killed", count=5, stage="young")
    (after,) = standing(logbook)[0].tallies
    assert (after.kind, after.count, after.stage) == ("killed", 5, "young")
    assert (after.pest, after.at_ms) == (before.pest, before.at_ms)
    # of the day it is about, whenever it was put right
    assert standing(logbook, YESTERDAY)[0].live() == 5
    assert record(logbook).last_find_on == YESTERDAY
    assert {i: t.withdrawn for i, t in tallies(logbook).items()} == {old: True, new: False}
    (look,) = made(logbook).values()
    assert (look.counted("killed"), look.counted("removed"), look.found) == (5, 0, 5)


def test_a_stage_given_afterwards_does_not_outlive_the_count(
    counted: LookWritten, logbook: Logbook, moment: Moment
) -> None:
    replace_tally(logbook, moment, counted.tally_ids[0], kind="removed", count=3, stage=None)
    assert standing(logbook)[0].tallies[0].stage is None


def test_a_doubt_corrected_keeps_what_it_was_settled_as(
    add: Add, look: LookIn, logbook: Logbook, moment: Moment
) -> None:
    add("G02", on=TODAY - timedelta(90))
    old = look("G02", YESTERDAY, "axils", counts={"doubtful": 2}).tally_ids[0]
    settle(logbook, moment, old, "alive")
    new = replace_tally(logbook, moment, old, kind="doubtful", count=1, stage=None)
    assert tallies(logbook)[new].settled_as == "alive"
    assert standing(logbook)[0].live() == 1
    third = replace_tally(logbook, moment, new, kind="removed", count=1, stage=None)
    assert tallies(logbook)[third].settled_as is None
    assert standing(logbook)[0].live() == 1


def test_a_look_put_in_the_place_of_another_keeps_its_counts_and_its_note(
    counted: LookWritten, logbook: Logbook, moment: Moment
) -> None:
    (old,) = counted.look_ids
    before = standing(logbook)[0]
    new = replace_look(logbook, moment, old, zone="medium", seconds=12.5)
    (after,) = standing(logbook)
    assert (after.zone, after.seconds, after.day) == ("medium", 12.5, YESTERDAY)
    assert (after.round_id, after.began_at, after.outcome) == (
        before.round_id,
        before.began_at,
        before.outcome,
    )
    assert after.tallies == before.tallies
    looks = made(logbook)
    assert {i: look.withdrawn for i, look in looks.items()} == {old: True, new: False}
    assert [t.id for t in looks[new].tallies] == list(counted.tally_ids)
    assert (looks[old].found, looks[new].found) == (0, 3)
    ids = [entry.id for entry in record(logbook).entries.looks]
    assert list(log.notes_of(logbook.file, ids).values()) == ["under wool", "under wool"]


def test_counts_of_a_look_replaced_twice_are_still_there_and_can_be_corrected(
    counted: LookWritten, logbook: Logbook, moment: Moment
) -> None:
    second = replace_look(logbook, moment, counted.look_ids[0], zone="medium", seconds=10)
    replace_look(logbook, moment, second, zone="pot-rim", seconds=11)
    replace_tally(logbook, moment, counted.tally_ids[0], kind="left", count=2, stage=None)
    (look,) = standing(logbook)
    assert (look.zone, look.live()) == ("pot-rim", 2)


def test_the_roots_out_of_the_pot_are_so_only_while_they_are_the_roots(
    add: Add, look: LookIn, logbook: Logbook, moment: Moment
) -> None:
    add("G02", on=TODAY - timedelta(90))
    old = look("G02", YESTERDAY, "roots", unpotted=True).look_ids[0]
    second = replace_look(logbook, moment, old, zone="roots", seconds=90)
    assert standing(logbook)[0].unpotted
    replace_look(logbook, moment, second, zone="medium", seconds=90)
    assert not standing(logbook)[0].unpotted


def test_of_a_replacement_taken_back_nothing_stands(
    counted: LookWritten, logbook: Logbook, moment: Moment
) -> None:
    new = replace_tally(logbook, moment, counted.tally_ids[0], kind="removed", count=30, stage=None)
    assert withdraw(logbook, moment, new)[0] == [new]
    assert standing(logbook)[0].tallies == ()
    assert all(tally.withdrawn for tally in tallies(logbook).values())
    assert record(logbook).last_find_on is None


def test_a_replaced_look_taken_back_takes_its_counts_along(
    counted: LookWritten, logbook: Logbook, moment: Moment
) -> None:
    new = replace_look(logbook, moment, counted.look_ids[0], zone="medium", seconds=9)
    gone, plant = withdraw(logbook, moment, new)
    assert gone == [new, *counted.tally_ids]
    assert plant is not None
    assert plant.code == "G02"
    assert standing(logbook) == []
    assert all(look.withdrawn for look in made(logbook).values())


@pytest.mark.parametrize("kind", ["look", "tally"])
def test_what_does_not_stand_is_not_corrected(
    counted: LookWritten, logbook: Logbook, moment: Moment, kind: str
) -> None:
    entry = counted.look_ids[0] if kind == "look" else counted.tally_ids[0]

    def correct() -> None:
        if kind == "look":
            replace_look(logbook, moment, entry, zone="axils", seconds=1)
        else:
            replace_tally(logbook, moment, entry, kind="left", count=1, stage=None)

    correct()
    written = logbook.file.last_number()
    with pytest.raises(Refused, match="withdrawn already"):
        correct()
    with pytest.raises(Refused, match="withdrawn already"):
        withdraw(logbook, moment, entry)
    assert logbook.file.last_number() == written


def test_a_count_of_a_look_taken_back_is_not_corrected(
    counted: LookWritten, logbook: Logbook, moment: Moment
) -> None:
    withdraw(logbook, moment, counted.look_ids[0])
    with pytest.raises(Refused, match="withdrawn already"):
        replace_tally(logbook, moment, counted.tally_ids[0], kind="left", count=1, stage=None)


@pytest.mark.parametrize(
    ("said", "code", "field"),
    [
        ({"kind": "eaten"}, "not-one-of", "kind"),
        ({"stage": "old"}, "not-one-of", "stage"),
        ({"count": 0}, "no-count", "count"),
        ({"count": 100_001}, "no-count", "count"),
    ],
)
def test_a_count_that_cannot_be_is_refused_and_nothing_written(
    counted: LookWritten,
    logbook: Logbook,
    moment: Moment,
    said: dict[str, object],
    code: str,
    field: str,
) -> None:
    written = logbook.file.last_number()
    values = {"kind": "removed", "count": 1, "stage": None, **said}
    with pytest.raises(BadInput) as fault:
        replace_tally(logbook, moment, counted.tally_ids[0], **values)  # type: ignore[arg-type]
    assert (fault.value.code, fault.value.field) == (code, field)
    assert logbook.file.last_number() == written
    assert standing(logbook)[0].live() == 3


@pytest.mark.parametrize(
    ("zone", "seconds", "code"),
    [
        ("crown", 10.0, "unknown-zone"),
        ("axils", -1.0, "bad-seconds"),
        ("axils", float("nan"), "bad-seconds"),
        ("axils", 1e9, "bad-seconds"),
    ],
)
def test_a_look_that_cannot_be_is_refused_and_nothing_written(
    counted: LookWritten, logbook: Logbook, moment: Moment, zone: str, seconds: float, code: str
) -> None:
    with pytest.raises(BadInput) as fault:
        replace_look(logbook, moment, counted.look_ids[0], zone=zone, seconds=seconds)
    assert fault.value.code == code
    assert [look.zone for look in standing(logbook)] == ["axils"]


def test_a_zone_that_could_not_be_seen_gets_no_seconds(
    add: Add, look: LookIn, logbook: Logbook, moment: Moment
) -> None:
    add("G02", on=TODAY - timedelta(90))
    (hidden,) = look("G02", YESTERDAY, "axils", seconds=0, cannot_see="too-dark").look_ids
    with pytest.raises(BadInput) as fault:
        replace_look(logbook, moment, hidden, zone="axils", seconds=4)
    assert fault.value.code == "cannot-see-with-looking"
    replace_look(logbook, moment, hidden, zone="sheaths", seconds=0)
    assert [(k.zone, k.outcome, k.reason) for k in standing(logbook)] == [
        ("sheaths", "cannot-see", "too-dark")
    ]


def test_entries_that_are_not_there_are_not_corrected(
    counted: LookWritten, logbook: Logbook, moment: Moment
) -> None:
    (look,), (tally,) = counted.look_ids, counted.tally_ids
    for entry in (tally, "x", "look-20260503-1-7", look.replace("-1-", "-9-")):
        with pytest.raises(BadInput, match="no entry"):
            replace_look(logbook, moment, entry, zone="axils", seconds=1)
    for entry in (look, "x", "tally-20260503-1-7", tally.replace("20260503", "20260502")):
        with pytest.raises(BadInput, match="no entry"):
            replace_tally(logbook, moment, entry, kind="left", count=1, stage=None)
    assert standing(logbook)[0].live() == 3


def test_a_correction_is_written_whole_or_not_at_all(
    counted: LookWritten, logbook: Logbook, moment: Moment, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise RuntimeError("no room")

    before = (logbook.file.last_number(), standing(logbook))
    monkeypatch.setattr("rounds.store.log.append_withdrawal", full)
    with pytest.raises(RuntimeError, match="no room"):
        replace_tally(logbook, moment, counted.tally_ids[0], kind="left", count=1, stage=None)
    with pytest.raises(RuntimeError, match="no room"):
        replace_look(logbook, moment, counted.look_ids[0], zone="medium", seconds=1)
    assert (logbook.file.last_number(), standing(logbook)) == before


def test_a_settled_doubt_can_be_settled_otherwise_and_opened_again(
    add: Add, look: LookIn, logbook: Logbook, moment: Moment
) -> None:
    add("G02", on=TODAY - timedelta(90))
    (doubt,) = look("G02", YESTERDAY, "axils", counts={"doubtful": 1}).tally_ids
    settle(logbook, moment, doubt, "remains")
    settle(logbook, moment, doubt, "alive")
    assert (tallies(logbook)[doubt].settled_as, record(logbook).last_find_on) == (
        "alive",
        YESTERDAY,
    )
    name, plant = reopen_doubt(logbook, moment, doubt)
    assert (name, plant.code) == (doubt, "G02")
    # both answers are taken back: not even the older one holds
    assert tallies(logbook)[doubt].settled_as is None
    assert [d.day for d in record(logbook).open_doubts] == [YESTERDAY]
    assert record(logbook).last_find_on is None


def test_only_a_doubt_is_opened_again(
    counted: LookWritten, logbook: Logbook, moment: Moment
) -> None:
    for entry in (*counted.tally_ids, *counted.look_ids):
        with pytest.raises(BadInput, match="not an unsure speck"):
            reopen_doubt(logbook, moment, entry)


def test_a_count_of_a_look_in_progress_is_corrected_and_the_round_goes_on(
    add: Add, walk: Callable[[], RoundWalk], logbook: Logbook, moment: Moment
) -> None:
    add("G02", on=TODAY - timedelta(90))
    walked = walk()
    walked.count("removed")
    ((look,), (tally,)) = (made(logbook).values(), tallies(logbook).values())
    with pytest.raises(BadInput):
        # the round itself closes and reopens the look it is in
        replace_look(logbook, moment, look.id, zone="axils", seconds=1)
    replace_tally(logbook, moment, tally.id, kind="removed", count=4, stage=None)
    assert standing(logbook)[0].live() == 4
    walked.go_on()
    assert standing(logbook)[0].live() == 4
