"""import: read a file into the logbook."""

import click

from rounds import words
from rounds.cli.lines import said_once
from rounds.cli.options import Writing, argument, command, writing
from rounds.cli.output import Answer
from rounds.service.exchange import read_file


@command("import")
@argument("FILE", "name", type=str)
@writing
def import_csv(asked: Writing, name: str) -> Answer:
    """Read a file."""
    with read_file(asked.logbook, asked.moment, name, digest=asked.key is not None) as file:
        written, known = asked.once(lambda: {"written": file.write()}, rows=file.digest)
    rows = file.rows
    new = 0 if known else written["written"]
    found = {
        "file": name,
        "kind": file.kind,
        "rows": rows,
        "written": new,
        "already_known": rows - new,
    }
    return Answer(
        "import",
        asked.moment.day,
        found,
        lambda: [
            *said_once(known),
            words.say("cli.import.done", **{**found, "known": rows - new}),
        ],
    )


COMMANDS: tuple[click.Command, ...] = (import_csv,)
