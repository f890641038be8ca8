"""Each pest is worked out with its own biology; what this program does not know is told."""

from contextlib import closing
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from rounds.clock import SetClock
from rounds.core.biology.process import make_process
from rounds.core.parameters import Parameters, Warmth
from rounds.errors import LogbookUnusable
from rounds.service.collection.plants import PlantDetails, add_plant
from rounds.service.inference.day import CollectionDay, record_of
from rounds.service.inference.kept import parameters_digest
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import now
from rounds.service.logbook.parameters import load_parameters
from rounds.service.plant.record import PlantRecord
from rounds.store import LogbookFile, plants
from rounds.store.codes import code_id


def with_scale(known: Parameters) -> Parameters:
    """The table with a pest more, which needs more warmth and lacks a nymph."""
    bug = known.pests["mealybug"]
    scale = replace(
        bug,
        stages=tuple(stage for stage in bug.stages if stage.code != "L3"),
        warmth=Warmth(lower_threshold_c=12, upper_cutoff_c=28, known_up_to_c=32),
        rules={name: replace(rules, degree_days=610) for name, rules in bug.rules.items()},
    )
    return replace(known, pests={**known.pests, "scale": scale})


@pytest.fixture
def both(logbook: Logbook, clock: SetClock) -> dict[str, PlantRecord]:
    """Two plants in quarantine that differ in nothing but their pest, by it."""
    logbook.parameters = with_scale(logbook.parameters)
    arrived = clock.today()
    for code, pest in (("G02", "mealybug"), ("S03", "scale")):
        details = PlantDetails(name=code, place="stair foot", arrived=arrived, pests=(pest,))
        add_plant(logbook, now(clock), code, details)
    day = CollectionDay(logbook, arrived)
    return {record.pest: record for record in day.records.values()}


def test_a_plant_is_worked_out_with_the_life_of_its_pest(both: dict[str, PlantRecord]) -> None:
    bug, scale = both["mealybug"], both["scale"]
    assert len(bug.likely.process.stages) == len(scale.likely.process.stages) + 1
    assert len(bug.likely.mean) == bug.likely.process.size
    assert len(scale.likely.mean) == scale.likely.process.size
    assert bug.likely.key != scale.likely.key


def test_the_warmth_asked_and_counted_is_that_of_the_pest(both: dict[str, PlantRecord]) -> None:
    # ten days of 18 degC, above 8 and above 12
    first, last = date(2026, 1, 1), date(2026, 1, 11)
    counted = {pest: record.degree_days_between(first, last) for pest, record in both.items()}
    assert counted == pytest.approx({"mealybug": 100, "scale": 60})
    asked = {pest: record.criteria[1].need for pest, record in both.items()}
    assert asked == {"mealybug": 485, "scale": 610}


def test_no_process_is_made_of_a_pest_that_is_not_known(both: dict[str, PlantRecord]) -> None:
    record = both["mealybug"]
    with pytest.raises(KeyError, match="lamp-moth"):
        make_process(record.body.zones, record.parameters, "lamp-moth")


def test_the_key_of_the_table_covers_the_pest_and_no_other() -> None:
    known = load_parameters()
    bug = known.pests["mealybug"]
    other = replace(known, pests={"mealybug": replace(bug, stages=())})
    assert parameters_digest(known, "mealybug") != parameters_digest(other, "mealybug")
    assert parameters_digest(known, "mealybug") == parameters_digest(with_scale(known), "mealybug")
    of_scale = parameters_digest(with_scale(known), "scale")
    assert of_scale != parameters_digest(known, "mealybug")


@pytest.mark.parametrize("kind", ["zone", "pest"])
def test_a_logbook_that_names_what_is_not_known_is_refused(tmp_path: Path, kind: str) -> None:
    path = tmp_path / "logbook.db"
    with closing(LogbookFile(path)) as file, file.writing():
        code_id(file, "zone" if kind == "zone" else "pest", "lamp-moth")
    with pytest.raises(LogbookUnusable, match="'lamp-moth'") as raised:
        Logbook(path)
    assert raised.value.code == f"logbook-{kind}-unknown"


@pytest.mark.parametrize(("what", "kind"), [("pests", "pest"), ("form", "form")])
def test_a_plant_said_to_be_what_is_not_known_is_told(
    logbook: Logbook, clock: SetClock, what: str, kind: str
) -> None:
    details = PlantDetails(name="Thole", place="stair foot", already_here=True)
    plant = add_plant(logbook, now(clock), "G02", details)
    fact = (plant.id, clock.today(), 0, what, "lamp-moth")
    with logbook.file.writing_records():
        plants.append_plant_fact(logbook.file, *fact)
    said = logbook.collection().plants[plant.id]
    with pytest.raises(LogbookUnusable, match="'lamp-moth'") as raised:
        _ = record_of(logbook, said, clock.today()).streak
    assert raised.value.code == f"logbook-{kind}-unknown"
