"""A seal on what is kept of the sums: a text that a disk has changed is as if it were not kept."""

import zlib

DIGITS = 8
"""of the checksum, hexadecimal"""


def sealed(text: str) -> str:
    """A text with its checksum before it (CRC-32, ISO 3309)."""
    return _seal(text) + text


def unsealed(found: bytes) -> str | None:
    """The text of what was read, as bytes; None where it is not the one that was sealed."""
    # a byte gone wrong may be one that no text has
    kept = found.decode(errors="replace")
    seal, text = kept[:DIGITS], kept[DIGITS:]
    return text if seal == _seal(text) else None


def _seal(text: str) -> str:
    return f"{zlib.crc32(text.encode()):0{DIGITS}x}"
