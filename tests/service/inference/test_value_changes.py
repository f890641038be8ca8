"""Values that a grower changed: in force by day, and under every result that is kept."""

from collections.abc import Iterator
from datetime import timedelta
from typing import Any

import pytest

from rounds.errors import BadInput
from rounds.service.entries.value_changes import change_value, reset_value, withdraw_change
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.changed_values import entries_of, sharing
from rounds.service.logbook.moment import local_noon
from rounds.service.logbook.parameter_rows import value_rows
from rounds.service.logbook.parameters import load_parameters, parameter_files, parameters_with
from rounds.service.plant.status import PlantStatus, status_of
from rounds.store import derived
from rounds.words.parameters import (
    group_of_value,
    moves_of_value,
    name_of_value,
    unit_of_value,
    written_value,
)

from .asking import TODAY, Add, LookIn, before

ROWS = dict(entries_of(parameter_files()))
NUMBERS = [code for code, entry in ROWS.items() if isinstance(entry["value"], int | float)]


def status(logbook: Logbook, code: str = "S03", on: int = 0) -> PlantStatus:
    plant = logbook.collection().plant(code)
    assert plant is not None
    return status_of(record_of(logbook, plant, before(on)))


@pytest.fixture
def looked_at(add: Add, look: LookIn) -> None:
    """A plant with clean looks in the last ten days and a find before them."""
    add("S03", on=before(30), arrived=before(30), size="medium")
    look("S03", before(12), "axils", counts={"removed": 1, "killed": 1}, stage="adult")
    for ago in (10, 6, 3, 1):
        look("S03", before(ago), seconds=150.0)


MOVING = [
    ("forms.weight.axils", 0.55),
    ("forms.tucked_share.axils", 0.6),
    ("infestation.arrivals.apart", 0.004),
    ("infestation.handling.killed", 0.6),
    ("inspection.reference_seconds.medium", 400),
    ("inspection.credit.seconds_per_find", 20),
    ("inspection.credit.seen_from", 0.9),
    ("pests.mealybug.stages.L1.daily_survival", 0.94),
    ("pests.mealybug.stages.A.found_in_reach", 0.6),
    ("pests.mealybug.stages.L2.make_up", 0.3),
    ("pests.mealybug.warmth.lower_threshold", 8.5),
    ("pests.mealybug.day.eggs_a_day", 16.0),
    ("places.usual.temperature", 12.0),
]


@pytest.mark.usefixtures("looked_at")
@pytest.mark.parametrize(("code", "value"), MOVING)
def test_what_was_kept_before_a_change_is_worked_out_anew(
    logbook: Logbook, code: str, value: float
) -> None:
    # asked first, so that pasts and results are kept under the usual values
    usual, yesterday = status(logbook), status(logbook, on=1)
    change_value(logbook, local_noon(TODAY), code, value, "to see what moves")
    changed = status(logbook)
    derived.forget_all(logbook.file)
    assert status(logbook) == changed
    assert (changed.chance_clean, changed.left) != (usual.chance_clean, usual.left) or (
        changed.streak != usual.streak
    )
    assert status(logbook, on=1) == yesterday
    reset_value(logbook, local_noon(TODAY), code)
    assert status(logbook) == usual


@pytest.mark.usefixtures("looked_at")
def test_a_day_looked_at_long_ago_is_judged_by_the_value_of_the_day_spoken_about(
    logbook: Logbook,
) -> None:
    # each look gave every zone five sixths of its time: enough by half, not by nine tenths
    assert status(logbook).streak.looks == 4
    change_value(logbook, local_noon(TODAY), "inspection.credit.seen_from", 0.9, "stricter")
    assert status(logbook).streak.looks == 0
    assert status(logbook, on=1).streak.looks == 4


def test_without_a_change_the_values_are_those_of_the_files(logbook: Logbook) -> None:
    assert logbook.parameters is load_parameters()
    name, _ = change_value(
        logbook, local_noon(TODAY), "places.usual.temperature", 21, "by the stove"
    )
    assert logbook.parameters.usual_c == 21
    assert logbook.parameters_on(before(1)) is load_parameters()
    withdraw_change(logbook, local_noon(TODAY), name)
    assert logbook.parameters is load_parameters()


def test_of_one_day_the_newest_entry_holds_and_of_several_that_of_the_latest_day(
    logbook: Logbook,
) -> None:
    code = "places.usual.temperature"
    change_value(logbook, local_noon(TODAY), code, 21.0, "a")
    change_value(logbook, local_noon(TODAY), code, 22.0, "b")
    # entered last, about an earlier day
    change_value(logbook, local_noon(before(5)), code, 12.0, "c")
    assert [logbook.parameters_on(before(ago)).usual_c for ago in (6, 5, 1, 0)] == [18, 12, 12, 22]


def test_another_window_sees_it_at_once(logbook: Logbook) -> None:
    with Logbook(logbook.file.path, logbook.clock) as other:
        assert other.parameters.usual_c == 18
        change_value(logbook, local_noon(TODAY), "places.usual.temperature", 25.0, "heated")
        assert other.parameters.usual_c == 25


def test_shares_that_were_typed_stay_as_typed_and_the_rest_gives_way(logbook: Logbook) -> None:
    moment, weight = local_noon(TODAY), "forms.weight."
    change_value(logbook, moment, f"{weight}axils", 0.45, "x")
    change_value(logbook, moment, f"{weight}undersides", 0.2, "x")
    rows = {row.code: row.value for row in value_rows(logbook, TODAY)}
    assert (rows[f"{weight}axils"], rows[f"{weight}undersides"]) == (0.45, 0.2)
    assert rows[f"{weight}sheaths"] == pytest.approx(0.1 * 0.35 / 0.4)
    with pytest.raises(BadInput) as crowded:
        change_value(logbook, moment, f"{weight}new-growth", 0.35, "x")
    assert crowded.value.code == "value-crowds-out"


def test_an_earlier_day_is_not_changed_into_one_on_which_shares_do_not_fit(
    logbook: Logbook,
) -> None:
    weight = "forms.weight."
    change_value(logbook, local_noon(TODAY), f"{weight}undersides", 0.5, "x")
    with pytest.raises(BadInput) as crowded:
        change_value(logbook, local_noon(before(9)), f"{weight}axils", 0.48, "x")
    assert crowded.value.code == "value-crowds-out"
    assert logbook.parameters_on(before(5)) is load_parameters()


def test_a_code_that_is_no_longer_known_changes_nothing() -> None:
    assert parameters_with((("of.another.version", 3.0),)) == load_parameters()


def test_every_value_has_a_name_a_group_and_what_it_moves() -> None:
    assert len(ROWS) > 700
    for code, row in ROWS.items():
        assert 0 < len(name_of_value(code)) <= 46, code
        assert group_of_value(code), code
        assert moves_of_value(code).endswith("."), code
        assert unit_of_value(row["unit"]), code
        value = row["value"]
        assert written_value(tuple(value) if isinstance(value, list) else value), code


def test_no_two_values_are_called_the_same() -> None:
    names = [(group_of_value(code), name_of_value(code)) for code in ROWS]
    assert len(set(names)) == len(names)


def ends() -> Iterator[tuple[str, float]]:
    """Both ends of each range within which a value may be changed."""
    for code in NUMBERS:
        row = ROWS[code]
        if "fixed" not in row:
            yield code, float(row["low"])
            if len(sharing(ROWS, code)) == 1:
                yield code, float(row["high"])


def test_both_ends_of_a_range_make_values_the_sums_can_run_on() -> None:
    assert len(list(ends())) > 500
    for changed in ends():
        table = parameters_with((changed,))
        for zones in table.forms.values():
            assert sum(zone.weight for zone in zones) == pytest.approx(1), changed
        for pest in table.pests.values():
            assert sum(stage.make_up for stage in pest.stages) == pytest.approx(1), changed


def test_a_change_may_be_about_a_day_to_come(logbook: Logbook) -> None:
    later = TODAY + timedelta(3)
    change_value(logbook, local_noon(later), "places.usual.temperature", 9.0, "winter")
    assert logbook.parameters.usual_c == 18
    assert logbook.parameters_on(later).usual_c == 9


def kept_rows(logbook: Logbook) -> list[Any]:
    return logbook.file.connection.execute("SELECT * FROM value_change").fetchall()


def test_what_is_refused_writes_nothing(logbook: Logbook) -> None:
    for code, value, why in (
        ("forms.weight.axils", 0.69, "x"),
        ("forms.weight.axils", 0.4, " "),
        ("infestation.band.low", 0.4, "x"),
    ):
        with pytest.raises(BadInput):
            change_value(logbook, local_noon(TODAY), code, value, why)
    assert kept_rows(logbook) == []
