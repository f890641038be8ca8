"""Signs without insects, and which look was a second one at the same zone."""

import sqlite3
from collections import defaultdict
from datetime import date

from rounds.core.log.entries import SecondLook, Sign
from rounds.store.connect import LogbookFile


def append_sign(file: LogbookFile, sign: Sign) -> None:
    """Write that ants, stickiness or soot were seen."""
    with file.writing() as connection:
        connection.execute(
            "INSERT INTO sign (day, plant_id, id, look_id, at_ms, kind) VALUES (?,?,?,?,?,?)",
            (
                sign.day.toordinal(),
                sign.plant_id,
                sign.id,
                sign.look_id,
                sign.at_ms,
                sign.kind,
            ),
        )


def append_second_look(file: LogbookFile, second: SecondLook) -> None:
    """Write that a look, whose id is reserved, is a second one."""
    with file.writing() as connection:
        connection.execute(
            "INSERT INTO second_look (day, plant_id, id, first_id) VALUES (?,?,?,?)",
            (second.day.toordinal(), second.plant_id, second.id, second.first_id),
        )


def signs_by_plant(
    connection: sqlite3.Connection, where: str, values: tuple[int, ...]
) -> dict[int, list[Sign]]:
    """The signs of a span of days, by plant; `where` is on day and plant_id."""
    found: dict[int, list[Sign]] = defaultdict(list)
    rows = connection.execute(
        f"SELECT id, day, plant_id, look_id, at_ms, kind FROM sign {where}", values
    )
    for entry_id, day, plant_id, look_id, at_ms, kind in rows:
        found[plant_id].append(
            Sign(entry_id, date.fromordinal(day), plant_id, look_id, at_ms, kind)
        )
    return found


def second_looks_by_plant(
    connection: sqlite3.Connection, where: str, values: tuple[int, ...]
) -> dict[int, list[SecondLook]]:
    """The second looks of a span of days, by plant; `where` is on day and plant_id."""
    found: dict[int, list[SecondLook]] = defaultdict(list)
    rows = connection.execute(
        f"SELECT id, day, plant_id, first_id FROM second_look {where}", values
    )
    for entry_id, day, plant_id, first_id in rows:
        found[plant_id].append(SecondLook(entry_id, date.fromordinal(day), plant_id, first_id))
    return found
