"""Many plants worked out at once: the same figures, in one write."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest

from rounds.core.inference import side_by_side
from rounds.service.collection.plants import PlaceDetails, put_place
from rounds.service.inference import together
from rounds.service.inference.day import records
from rounds.service.inference.kept import kept_together, only_kept
from rounds.service.inference.result import Band, PlantResult
from rounds.service.inference.together import in_order, worked_out_together
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon
from rounds.store import derived
from rounds.store.connect import LogbookFile

from .asking import TODAY, Add, LookIn, before, found_three

FORMS = ("leafy-plant", "rosette", "climber")


@pytest.fixture
def shelf(add: Add, look: LookIn, logbook: Logbook) -> None:
    """Thirty plants without finds, of three forms, that came on different days; and G99."""
    for number in range(30):
        since = before(3 + number % 7)
        code = f"G{number:02}"
        add(code, place="porch shelf", form=FORMS[number % 3], arrived=since, on=since, source=code)
        if number % 4:
            look(code, before(number % 3))
    add("G99", place="porch shelf", arrived=before(8), on=before(8))
    found_three(logbook, "G99", before(2))


def figures(logbook: Logbook) -> dict[str, tuple[float, list[float], float]]:
    return {
        found.plant.code: (
            found.likely.chance_clean,
            [float(number) for number in found.likely.mean],
            found.likely.risk.value,
        )
        for found in in_order(records(logbook, TODAY))
    }


def kept_keys(logbook: Logbook) -> dict[tuple[int, str], str]:
    with logbook.file.reading() as connection:
        rows = connection.execute("SELECT plant_id, what, key FROM derived").fetchall()
    return {(plant_id, what): key for plant_id, what, key in rows}


@pytest.fixture
def writes(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """One for every transaction that is no part of another."""
    found: list[int] = []
    writing, depth = LogbookFile.writing, [0]

    @contextmanager
    def counted(file: LogbookFile) -> Iterator[Any]:
        if not depth[0]:
            found.append(1)
        depth[0] += 1
        try:
            with writing(file) as connection:
                yield connection
        finally:
            depth[0] -= 1

    monkeypatch.setattr(LogbookFile, "writing", counted)
    return found


@pytest.mark.usefixtures("shelf")
def test_side_by_side_they_come_out_as_one_by_one(
    logbook: Logbook, monkeypatch: pytest.MonkeyPatch
) -> None:
    sizes: list[int] = []

    def counted(logs: Any) -> Any:
        sizes.append(len(logs))
        return answers_of_clean(logs)

    answers_of_clean = side_by_side.answers_of_clean
    monkeypatch.setattr(side_by_side, "answers_of_clean", counted)
    at_once, keys = figures(logbook), kept_keys(logbook)
    assert sizes == [30]
    assert figures(logbook) == at_once, "what is kept is read"
    assert sizes == [30]
    derived.forget_all(logbook.file)
    monkeypatch.setattr(together, "FEW", 30)
    alone = figures(logbook)
    assert sizes == [30]
    assert list(alone) == list(at_once)
    for code, (chance, mean, risk) in alone.items():
        assert at_once[code][0] == pytest.approx(chance, rel=1e-12)
        assert at_once[code][1] == pytest.approx(mean, rel=1e-11, abs=1e-15)
        assert at_once[code][2] == pytest.approx(risk, rel=1e-11)
    assert kept_keys(logbook) == keys


def bands(logbook: Logbook) -> dict[str, Band]:
    return {found.plant.code: found.likely.band for found in records(logbook, TODAY)}


@pytest.mark.usefixtures("shelf")
def test_bands_come_out_side_by_side_as_one_by_one(
    logbook: Logbook, monkeypatch: pytest.MonkeyPatch
) -> None:
    with worked_out_together(records(logbook, TODAY), with_all=True):
        pass
    monkeypatch.setattr(PlantResult, "_work_out_band", None)
    at_once = bands(logbook)
    assert len(at_once) == 31, "all of them are kept"
    monkeypatch.undo()
    derived.forget_all(logbook.file)
    for code, band in bands(logbook).items():
        assert band.low == pytest.approx(at_once[code].low, rel=1e-12)
        assert band.high == pytest.approx(at_once[code].high, rel=1e-12)
        assert band.low_why == at_once[code].low_why


@pytest.mark.usefixtures("shelf")
def test_the_days_of_leaving_are_worked_out_with_the_rest(
    logbook: Logbook, add: Add, look: LookIn
) -> None:
    put_place(logbook, local_noon(before(9)), "boot tray", PlaceDetails(apart=True))
    add("Q01", place="boot tray", arrived=before(9), on=before(9))
    look("Q01", before(8))
    with worked_out_together(records(logbook, TODAY), with_all=True):
        pass
    waiting = [record for record in records(logbook, TODAY) if record.history is not None]
    assert waiting
    with only_kept(logbook):
        assert all(record.forecast and record.forecast.ready_on for record in waiting)


@pytest.mark.usefixtures("shelf")
def test_how_many_are_left_comes_out_of_the_run_of_the_figure_as_by_itself(
    logbook: Logbook, monkeypatch: pytest.MonkeyPatch
) -> None:
    with worked_out_together(records(logbook, TODAY), with_all=True):
        pass
    monkeypatch.setattr(PlantResult, "_work_out_left", None)
    found = [r for r in records(logbook, TODAY) if r.known.is_counted]
    at_once = {record.plant.code: record.likely.left for record in found}
    assert at_once
    monkeypatch.undo()
    derived.forget_all(logbook.file)
    for record in records(logbook, TODAY):
        if record.plant.code in at_once:
            left, alone = at_once[record.plant.code], record.likely.left
            assert (left.low, left.high) == (alone.low, alone.high)
            assert left.mean == pytest.approx(alone.mean, rel=1e-12)


@pytest.mark.usefixtures("shelf")
def test_a_day_is_kept_in_two_writes(logbook: Logbook, writes: list[int]) -> None:
    """What older days amount to, which is then let go of; and what is worked out from it."""
    in_order(records(logbook, TODAY))
    assert len(writes) == 2
    in_order(records(logbook, TODAY))
    assert len(writes) == 2, "nothing new to be kept"


@pytest.mark.usefixtures("shelf")
def test_what_was_worked_out_before_a_fault_is_kept(logbook: Logbook) -> None:
    found = records(logbook, TODAY)

    def fails_after_one() -> None:
        with kept_together(logbook), kept_together(logbook):
            assert found[0].likely.chance_clean > 0
            raise RuntimeError

    with pytest.raises(RuntimeError):
        fails_after_one()
    assert [what for _, what in kept_keys(logbook)].count("answer mealybug") == 1
    assert logbook.results_to_keep is None
