"""Many programs write to one logbook at once: all of it is there, and in one order.

`ROUNDS_WRITES=100` has each of them write so often; a few times otherwise.
"""

import json
import os
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

from tests.cli.conftest import Call

WRITERS, EACH = 8, int(os.environ.get("ROUNDS_WRITES", "8"))
KEYED = 4

WRITES = """
import contextlib, io, json, sys
from rounds.cli.main import main
path, first, each, keyed = sys.argv[1], int(sys.argv[2]), int(sys.argv[3]), int(sys.argv[4])
answers = []
for number in range(each + keyed):
    seconds = str(first + number) if number < each else "7"
    key = [] if number < each else ["--key", f"one of {number}"]
    out = io.StringIO()
    with contextlib.redirect_stdout(out):
        status = main(["--db", path, "look", "G02", "axils", "--seconds", seconds,
                       "--at", "2026-05-04T09:30", "--json", *key])
    answers.append((status, json.loads(out.getvalue())))
print(json.dumps(answers))
"""


def test_eight_writers_at_once_lose_nothing_and_keep_one_order(
    call: Call, logbook_file: Path
) -> None:
    call("place", "lamp room")
    call("add", "G02", "--name", "Thole", "--place", "lamp room", "--already-here")
    running = [
        subprocess.Popen(
            [sys.executable, "-c", WRITES, str(logbook_file), str(100 * n), str(EACH), str(KEYED)],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        for n in range(1, WRITERS + 1)
    ]
    ended = [process.communicate() for process in running]
    assert [err for _, err in ended if err] == []
    answers = [json.loads(out) for out, _ in ended]
    assert {status for of in answers for status, _ in of} == {0}
    ids = [found["look_ids"][0] for of in answers for _, found in of[:EACH]]
    assert len(set(ids)) == WRITERS * EACH
    # under one key one of the eight wrote, and all were answered with what it wrote
    for number in range(EACH, EACH + KEYED):
        same = [of[number][1] for of in answers]
        assert len({tuple(found["look_ids"]) for found in same}) == 1
        assert sorted(found["already_known"] for found in same) == [False] + [True] * (WRITERS - 1)
    with closing(sqlite3.connect(logbook_file)) as file:
        looks = dict(file.execute("SELECT id, milliseconds FROM look"))
        assert file.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    assert len(looks) == WRITERS * EACH + KEYED
    # each writer's own entries stand in the order in which it made them
    for n in range(1, WRITERS + 1):
        own = [id_ for id_, ms in sorted(looks.items()) if 100_000 * n <= ms < 100_000 * (n + 1)]
        assert [looks[id_] // 1000 - 100 * n for id_ in own] == list(range(EACH))
    assert json.loads(call("check", "--json").out)["ok"]
