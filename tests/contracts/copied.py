"""A copy of the package that a test adds to, and asks in a process of its own."""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import rounds

CALLS = """
import contextlib, io, json, sys
from rounds.cli.main import main
answers = []
for words in json.load(sys.stdin):
    with contextlib.redirect_stdout(io.StringIO()) as said:
        status = main(words)
    answers.append([status, said.getvalue()])
print(json.dumps(answers))
"""
"""Makes one call after the other; prints how each ended and what it printed."""

Call = tuple[str, ...]


class Copy:
    """A copy of the package, in a folder of its own."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.package = folder / "rounds"
        shutil.copytree(Path(rounds.__file__).parent, self.package)

    def edit(self, file: str, before: str, after: str) -> None:
        """Put one text in the place of another, wherever it stands."""
        path = self.package / file
        text = path.read_text(encoding="utf-8")
        assert before in text, f"{file}: {before}"
        path.write_text(text.replace(before, after), encoding="utf-8")

    def add(self, file: str, text: str) -> None:
        """Write further lines at the end of a file, or a file that was not there."""
        with (self.package / file).open("a", encoding="utf-8") as opened:
            opened.write(text)

    def asked(self, *calls: Call, path: Path | None = None) -> list[str]:
        """What the copy prints for each call, all of which succeed."""
        db = () if path is None else ("--db", str(path))
        given = json.dumps([[*call, *db] for call in calls])
        done = self.run(sys.executable, "-c", CALLS, given=given)
        assert done.returncode == 0, done.stderr
        answers = json.loads(done.stdout)
        assert [status for status, _ in answers] == [0] * len(calls), answers
        return [said for _, said in answers]

    def run(self, *command: str, given: str = "") -> subprocess.CompletedProcess[str]:
        """A process that imports the copy."""
        return subprocess.run(
            command, input=given, env={**os.environ, "PYTHONPATH": str(self.folder)},
            cwd=self.folder, capture_output=True, text=True, check=False,
        )  # fmt: skip
