"""The seconds planned for a plant before a find opened its zones: to put them back by."""

import json
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from rounds.core.walks import Step
from rounds.store import desk

if TYPE_CHECKING:
    from rounds.service.round.course import RoundCourse

SETTING = "planned_before_opening"
"""Of the round that opened a plant last; what is looked at in it is told by its steps alone."""


def keep_as_planned(walk: "RoundCourse", plant_id: int) -> None:
    """Remember the seconds of the steps of a plant. Inside a transaction."""
    by_plant = _kept(walk)
    own = {s.zone: s.planned_seconds for s in walk.steps if s.plant_id == plant_id}
    by_plant[str(plant_id)] = own
    text = json.dumps({"round": walk.walk.id, "plants": by_plant})
    desk.put_setting(walk.logbook.file, SETTING, text)


def as_planned(walk: "RoundCourse", steps: Sequence[Step]) -> list[Step]:
    """Steps of one plant with the seconds they had before they were opened."""
    had = _kept(walk).get(str(steps[0].plant_id), {})
    return [replace(s, planned_seconds=had.get(s.zone, s.planned_seconds)) for s in steps]


def _kept(walk: "RoundCourse") -> dict[str, dict[str, float]]:
    text = desk.setting(walk.logbook.file, SETTING)
    found = json.loads(text) if text else {}
    plants: dict[str, dict[str, float]] = found.get("plants", {})
    return plants if found.get("round") == walk.walk.id else {}
