"""Files that commands write: whole or not at all, and over no file of somebody else."""

import os
from pathlib import Path

from rounds.errors import BadInput


def write_own_file(file: Path, content: bytes, mark: bytes, *, field: str, foreign: str) -> None:
    """Write a file, over an older one of ours too.

    Args:
        file: where.
        content: what.
        mark: stands in every file of ours of that kind.
        field: what of the call named the file.
        foreign: the code of the fault of an existing file without the mark.

    Raises:
        BadInput: it is not ours, or cannot be written.
    """
    try:
        if file.exists() and mark not in file.read_bytes():
            raise BadInput(foreign, field=field, file=file)
        beside = file.with_name(f".{file.name}.new")
        try:
            beside.write_bytes(content)
            os.replace(beside, file)
        except OSError:
            beside.unlink(missing_ok=True)
            raise
    except (OSError, ValueError) as fault:
        reason = getattr(fault, "strerror", None) or str(fault)
        raise BadInput("file-not-written", field=field, file=file, reason=reason) from fault
