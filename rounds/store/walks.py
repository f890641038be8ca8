"""Rounds and their plans."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from rounds.core.walks import Round, Step, Walker
from rounds.store.codes import code_id
from rounds.store.connect import LogbookFile

WHOLE = 1
"""How it is kept that a step is walked in one go with all of its plant."""

_ROUNDS = "SELECT id, day, who, began_at, ended_at, minutes, how FROM round"


def append_round(file: LogbookFile, walk: Round) -> None:
    """Write that a round began."""
    with file.writing() as connection:
        connection.execute(
            "INSERT INTO round VALUES (?,?,?,?,?,?,?)",
            (
                walk.id,
                walk.day.toordinal(),
                walk.who,
                walk.began_at,
                walk.ended_at,
                walk.minutes,
                walk.how,
            ),
        )


def append_steps(file: LogbookFile, round_id: int, steps: Iterable[Step]) -> None:
    """Write the plan of a round as it is to be walked."""
    with file.writing() as connection:
        connection.executemany(
            "INSERT INTO round_step "
            "(round_id, position, plant_id, zone_id, planned_seconds, reason, ended_as, "
            "whole_plant) VALUES (?,?,?,?,?,?,?,?)",
            [
                (
                    round_id,
                    step.position,
                    step.plant_id,
                    code_id(file, "zone", step.zone),
                    step.planned_seconds,
                    step.reason,
                    step.ended_as,
                    _kept_together(step),
                )
                for step in steps
            ],
        )


def replace_steps(file: LogbookFile, round_id: int, steps: Iterable[Step]) -> None:
    """Replace the plan of a round under way, as plants join it or are left for tomorrow."""
    with file.writing() as connection:
        connection.execute("DELETE FROM round_step WHERE round_id = ?", (round_id,))
        append_steps(file, round_id, steps)


def walker_of(file: LogbookFile, round_id: int) -> Walker | None:
    """The program a round is walked in."""
    with file.reading() as connection:
        row = connection.execute(
            "SELECT round_id, token, who, since, host, process FROM walker WHERE round_id = ?",
            (round_id,),
        ).fetchone()
    return Walker(*row) if row else None


def put_walker(file: LogbookFile, walker: Walker) -> None:
    """Say which program a round is walked in from now on."""
    with file.writing() as connection:
        connection.execute(
            "INSERT OR REPLACE INTO walker VALUES (?,?,?,?,?,?)",
            (
                walker.round_id,
                walker.token,
                walker.who,
                walker.since,
                walker.host,
                walker.process,
            ),
        )


def clear_walker(file: LogbookFile, round_id: int, token: str) -> None:
    """Delete the walker of a round if it still has this token, and not that of another program."""
    with file.writing() as connection:
        connection.execute("DELETE FROM walker WHERE round_id = ? AND token = ?", (round_id, token))


def end_round(file: LogbookFile, round_id: int, ended_at: int, ended_as: Mapping[int, str]) -> None:
    """Write when a round ended, and how each step of its plan came out, by position."""
    with file.writing() as connection:
        connection.execute("UPDATE round SET ended_at = ? WHERE id = ?", (ended_at, round_id))
        connection.executemany(
            "UPDATE round_step SET ended_as = ? WHERE round_id = ? AND position = ?",
            [(outcome, round_id, position) for position, outcome in ended_as.items()],
        )


def reopen_round(file: LogbookFile, round_id: int) -> None:
    """Undo the end of a round, where a press was taken back after it."""
    with file.writing() as connection:
        connection.execute("UPDATE round SET ended_at = NULL WHERE id = ?", (round_id,))
        connection.execute("UPDATE round_step SET ended_as = NULL WHERE round_id = ?", (round_id,))


def steps_of(file: LogbookFile, round_id: int) -> list[Step]:
    """The plan of a round, in walking order."""
    with file.reading() as connection:
        rows = connection.execute(
            "SELECT position, plant_id, zone.code, planned_seconds, reason, ended_as, "
            "whole_plant "
            "FROM round_step JOIN zone ON zone.id = zone_id WHERE round_id = ? ORDER BY position",
            (round_id,),
        )
        return [_step(*row) for row in rows]


def rounds_on(file: LogbookFile, day: date, how: str) -> list[Round]:
    """The rounds of a day, oldest first."""
    with file.reading() as connection:
        rows = connection.execute(
            f"{_ROUNDS} WHERE day = ? AND how = ? ORDER BY id", (day.toordinal(), how)
        )
        return [_round(row) for row in rows]


def newest_rounds(file: LogbookFile, until: date, most: int) -> list[Round]:
    """Walked rounds of days up to `until`, newest first."""
    with file.reading() as connection:
        rows = connection.execute(
            f"{_ROUNDS} WHERE day <= ? AND how = 'walked' ORDER BY day DESC, id DESC LIMIT ?",
            (until.toordinal(), most),
        )
        return [_round(row) for row in rows]


def unfinished_rounds(file: LogbookFile) -> list[Round]:
    """Walked rounds that nobody has ended, oldest first."""
    with file.reading() as connection:
        rows = connection.execute(
            f"{_ROUNDS} WHERE how = 'walked' AND ended_at IS NULL ORDER BY id"
        )
        return [_round(row) for row in rows]


def walkers(file: LogbookFile) -> list[tuple[int, str | None]]:
    """The walked rounds that nobody has ended, each with the token of the program that walks it."""
    with file.reading() as connection:
        rows = connection.execute(
            "SELECT round.id, token FROM round LEFT JOIN walker ON walker.round_id = round.id "
            "WHERE how = 'walked' AND ended_at IS NULL ORDER BY round.id"
        )
        return [(int(number), token) for number, token in rows]


def is_unfinished(file: LogbookFile, round_id: int) -> bool:
    """Whether a round was begun and nobody has ended it."""
    with file.reading() as connection:
        row = connection.execute(
            "SELECT 1 FROM round WHERE id = ? AND ended_at IS NULL", (round_id,)
        ).fetchone()
    return row is not None


def who_by_round(file: LogbookFile, round_ids: Sequence[int]) -> dict[int, str | None]:
    """Who walked or entered each of some rounds."""
    with file.reading() as connection:
        found = {}
        for round_id in round_ids:
            row = connection.execute("SELECT who FROM round WHERE id = ?", (round_id,)).fetchone()
            found[round_id] = row[0] if row else None
    return found


def _round(row: tuple[int, int, str | None, int, int | None, float | None, str]) -> Round:
    entry_id, day, who, began_at, ended_at, minutes, how = row
    return Round(entry_id, date.fromordinal(day), who, began_at, ended_at, minutes, how)


def _kept_together(step: Step) -> int:
    """In one number: 0 alone, 1 with the whole plant, else with the zones of the same number."""
    return WHOLE if step.whole_plant else step.group + WHOLE if step.group else 0


def _step(
    position: int,
    plant_id: int,
    zone: str,
    seconds: float,
    reason: str,
    ended_as: str | None,
    together: int,
) -> Step:
    group = max(0, together - WHOLE)
    return Step(position, plant_id, zone, seconds, reason, ended_as, together == WHOLE, group)
