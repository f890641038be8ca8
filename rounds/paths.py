"""Where the logbook lies."""

import os
from pathlib import Path


def keys_path() -> Path:
    """The grower's own keys, in the platform's folder for what a user sets."""
    # slow to import: see below
    import platformdirs

    return platformdirs.user_config_path("rounds") / "keys.toml"


def logbook_path(given: str | None) -> Path:
    """The file named, else the one in ROUNDS_DB, else the platform's data folder."""
    named = given or os.environ.get("ROUNDS_DB")
    if named:
        return Path(named).expanduser()
    # slow to import, and not needed by a call that names its logbook
    import platformdirs

    return platformdirs.user_data_path("rounds") / "logbook.db"
