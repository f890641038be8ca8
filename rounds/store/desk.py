"""What is not of the log: settings, and keys that make a call repeatable."""

from collections.abc import Iterable

from rounds.store.connect import LogbookFile


def setting(file: LogbookFile, name: str) -> str | None:
    """A setting of this logbook."""
    with file.reading() as connection:
        row = connection.execute("SELECT value FROM setting WHERE name = ?", (name,)).fetchone()
    return str(row[0]) if row else None


def settings(file: LogbookFile) -> list[tuple[str, str]]:
    """All settings of this logbook, by name."""
    with file.reading() as connection:
        rows = connection.execute("SELECT name, value FROM setting ORDER BY name")
        return [(str(name), str(value)) for name, value in rows]


def put_setting(file: LogbookFile, name: str, value: str) -> None:
    """Keep a setting of this logbook."""
    with file.writing() as connection:
        connection.execute("INSERT OR REPLACE INTO setting VALUES (?, ?)", (name, value))


def answer_to(file: LogbookFile, key: str) -> tuple[str, str] | None:
    """What was asked under a key before, and what was answered."""
    with file.reading() as connection:
        row = connection.execute(
            "SELECT content, answer FROM entry_key WHERE key = ?", (key,)
        ).fetchone()
    return (str(row[0]), str(row[1])) if row else None


def keep_answers(file: LogbookFile, answers: Iterable[tuple[str, str, str]]) -> None:
    """Keep many: the key of each, what was asked under it, and what was answered."""
    with file.writing() as connection:
        connection.executemany("INSERT INTO entry_key VALUES (?, ?, ?)", answers)


def keep_answer(file: LogbookFile, key: str, content: str, answer: str) -> None:
    """Keep what was asked under a key, and what was answered."""
    with file.writing() as connection:
        connection.execute("INSERT INTO entry_key VALUES (?, ?, ?)", (key, content, answer))
