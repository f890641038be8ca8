"""Where the logbook lies."""

import os
from pathlib import Path

import platformdirs


def logbook_path(given: str | None) -> Path:
    """The file named, else the one in ROUNDS_DB, else the platform's data folder."""
    named = given or os.environ.get("ROUNDS_DB")
    if named:
        return Path(named).expanduser()
    return platformdirs.user_data_path("rounds") / "logbook.db"
