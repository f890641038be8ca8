"""Many numbers as one short text: as a list each kept result of a plant takes longest to read."""

import struct
from binascii import a2b_base64, b2a_base64
from collections.abc import Iterable

BYTES = struct.calcsize("<d")


def text_of_numbers(numbers: Iterable[float]) -> str:
    """The numbers to their last bit, the same on every machine (IEEE 754, little end first)."""
    given = [float(number) for number in numbers]
    return b2a_base64(struct.pack(f"<{len(given)}d", *given), newline=False).decode("ascii")


def numbers_of(text: str) -> tuple[float, ...]:
    """The numbers of a text."""
    given = a2b_base64(text)
    return struct.unpack(f"<{len(given) // BYTES}d", given)
