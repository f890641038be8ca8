"""What was appended to the log is read back as it was, by span of days and by plant."""

import dataclasses
from collections.abc import Callable
from contextlib import closing
from datetime import date, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rounds.core.log.entries import Look, OpenLook, StageGiven, Tally, Withdrawal
from rounds.core.walks import Round, Step
from rounds.errors import LogbookUnusable
from rounds.store import LogbookFile, log, plants, walks
from rounds.store.codes import codes_used

FIRST = date(2026, 5, 4)
PLANTS = ("G02", "S03", "G07")
WHY = ("taken-back", "reopened", "remains", "not-an-insect", "alive")

Entry = Look | Tally | StageGiven | Withdrawal
APPEND: dict[type, Callable[..., None]] = {
    Look: log.append_look,
    Tally: log.append_tally,
    StageGiven: log.append_stage,
    Withdrawal: log.append_withdrawal,
}

days = st.integers(0, 5).map(lambda back: FIRST + timedelta(back))
owners = st.integers(1, len(PLANTS))
ids = st.just(0)  # given when they are written
instants = st.integers(0, 2**41)
# kept to the millisecond
seconds = st.integers(0, 4_000_000).map(lambda ms: ms / 1000)
texts = st.none() | st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
round_ids = st.just(0)

zones = st.sampled_from(("axils", "sheaths", "roots"))
looks = st.builds(
    Look, ids, days, owners, zones, round_ids, instants, seconds,
    st.sampled_from(log.OUTCOMES), texts, st.booleans(),
)  # fmt: skip
tallies = st.builds(
    Tally, ids, days, owners, instants, instants,
    st.sampled_from(("removed", "killed", "left", "doubtful")),
    st.none() | st.sampled_from(("young", "adult", "eggs", "egg-mass")),
    st.sampled_from(("mealybug", "scale")), st.integers(1, 10**5),
)  # fmt: skip
stages = st.builds(
    StageGiven, ids, days, owners, instants, instants, st.sampled_from(("young", "adult"))
)
withdrawals = st.builds(
    Withdrawal, ids, days, owners, instants, instants, st.sampled_from(WHY),
    st.none() | instants, texts,
)  # fmt: skip


def new_file(folder: Path) -> tuple[LogbookFile, int]:
    """A file with three plants and a round; the round's id."""
    file = LogbookFile(folder / "logbook.db")
    with file.writing():
        for code in PLANTS:
            plants.insert_plant(file, code, FIRST)
        walk = Round(file.next_id(), FIRST, None, 0, None, 10.0, "walked")
        walks.append_round(file, walk)
    return file, walk.id


def written(file: LogbookFile, round_id: int, entries: list[Entry]) -> list[Entry]:
    """The entries as they were appended, numbered."""
    done: list[Entry] = []
    with file.writing():
        for entry in entries:
            numbered = dataclasses.replace(entry, id=file.next_id())
            if isinstance(numbered, Look):
                numbered = dataclasses.replace(numbered, round_id=round_id)
            APPEND[type(numbered)](file, numbered)
            done.append(numbered)
    return done


def of(entries: list[Entry], kind: type, plant_id: int, first: date, last: date) -> set[Entry]:
    return {
        entry
        for entry in entries
        if isinstance(entry, kind) and entry.plant_id == plant_id and first <= entry.day <= last
    }


@settings(max_examples=30, deadline=None)
@given(entries=st.lists(looks | tallies | stages | withdrawals, max_size=25), first=days, last=days)
def test_the_log_gives_back_what_was_appended(
    entries: list[Entry], first: date, last: date
) -> None:
    with TemporaryDirectory() as folder:
        file, round_id = new_file(Path(folder))
        with closing(file):
            kept = written(file, round_id, entries)
            together = log.entries_by_plant(file, first, last)
            for plant_id in range(1, len(PLANTS) + 1):
                alone = log.entries_of(file, plant_id, first, last)
                assert set(alone.looks) == of(kept, Look, plant_id, first, last)
                assert set(alone.tallies) == of(kept, Tally, plant_id, first, last)
                assert set(alone.stages) == of(kept, StageGiven, plant_id, first, last)
                assert set(alone.withdrawals) == of(kept, Withdrawal, plant_id, first, last)
                lengths = (alone.looks, alone.tallies, alone.stages, alone.withdrawals)
                counted = sum(len(of(kept, kind, plant_id, first, last)) for kind in APPEND)
                assert sum(map(len, lengths)) == counted
                if plant_id in together:
                    assert together[plant_id] == alone


@pytest.fixture
def opened(tmp_path: Path) -> tuple[LogbookFile, int]:
    return new_file(tmp_path)


def test_the_open_look_is_one_row_until_it_closes(opened: tuple[LogbookFile, int]) -> None:
    file, round_id = opened
    with closing(file):
        first = OpenLook(71, FIRST, 1, "axils", round_id, 100, 1.5)
        log.put_open_look(file, first)
        longer = dataclasses.replace(first, seconds=7.25)
        log.put_open_look(file, longer)
        assert log.open_look_of(file, round_id) == longer
        assert log.entries_of(file, 1, FIRST, FIRST).open_looks == (longer,)
        log.clear_open_look(file, round_id)
        assert log.open_look_of(file, round_id) is None
        assert log.entries_of(file, 1, FIRST, FIRST).open_looks == ()


def test_a_zone_enters_the_file_with_the_first_look_that_names_it(
    opened: tuple[LogbookFile, int],
) -> None:
    file, round_id = opened
    with closing(file):
        assert codes_used(file) == []
        look = Look(5, FIRST, 1, "lantern", round_id, 0, 1.0, "looked")
        for entry in (look, dataclasses.replace(look, id=6)):
            log.append_look(file, entry)
        assert codes_used(file) == [("zone", "lantern")]
        assert {look.zone for look in log.entries_of(file, 1, FIRST, FIRST).looks} == {"lantern"}


def test_a_zone_whose_first_look_was_not_written_does_not_stay(
    opened: tuple[LogbookFile, int],
) -> None:
    file, round_id = opened
    with closing(file):
        look = Look(5, FIRST, 1, "lantern", round_id, 0, 1.0, "looked")

        def write() -> None:
            with file.writing():
                log.append_look(file, look)
                raise LogbookUnusable("logbook-full")

        with pytest.raises(LogbookUnusable):
            write()
        assert codes_used(file) == []


def test_words_are_kept_with_the_entry_they_belong_to(opened: tuple[LogbookFile, int]) -> None:
    file, _ = opened
    with closing(file):
        log.append_note(file, 7, "wool [under] the lip")
        assert log.notes_of(file, [6, 7]) == {7: "wool [under] the lip"}


def test_the_plan_of_a_round_is_kept_and_how_it_came_out(opened: tuple[LogbookFile, int]) -> None:
    file, round_id = opened
    steps = [Step(1, 2, "axils", 14.25, "never-seen"), Step(2, 1, "medium", 3.0, "unseen")]
    with closing(file):
        walks.append_steps(file, round_id, steps)
        assert walks.steps_of(file, round_id) == steps
        assert [walk.id for walk in walks.unfinished_rounds(file)] == [round_id]
        walks.end_round(file, round_id, 500, {1: "looked-at", 2: "not-looked-at"})
        ended = [step.ended_as for step in walks.steps_of(file, round_id)]
        assert ended == ["looked-at", "not-looked-at"]
        assert walks.rounds_on(file, FIRST, "walked")[0].ended_at == 500
        assert walks.unfinished_rounds(file) == []
        walks.reopen_round(file, round_id)
        assert walks.steps_of(file, round_id) == steps
        assert [walk.id for walk in walks.unfinished_rounds(file)] == [round_id]
