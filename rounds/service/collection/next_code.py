"""The code offered for the next plant, in the style of those there."""

import re
from collections.abc import Iterable, Sequence
from itertools import count

FIRST = "P01"
NUMBERED = re.compile(r"(.*?)([0-9]{1,9})", re.DOTALL)


def next_code(codes: Sequence[str]) -> str:
    """After G14 comes G15; P01 where none of them ends in a number. In the order of entering."""
    taken = {code.casefold() for code in codes}
    newest = next((found for found in map(NUMBERED.fullmatch, reversed(codes)) if found), None)
    start, figures = newest.groups() if newest else (FIRST[:1], FIRST[1:])
    largest = max(_numbers(codes, start), default=0)
    return next(
        code
        for number in count(largest + 1)
        if (code := f"{start}{number:0{len(figures)}d}").casefold() not in taken
    )


def next_codes(codes: Sequence[str], count: int) -> list[str]:
    """The codes offered for the next few plants."""
    taken = list(codes)
    for _ in range(count):
        taken.append(next_code(taken))
    return taken[len(codes) :]


def _numbers(codes: Iterable[str], start: str) -> list[int]:
    """The numbers of the codes that begin alike."""
    found = filter(None, map(NUMBERED.fullmatch, codes))
    return [int(match[2]) for match in found if match[1].casefold() == start.casefold()]


def code_and_name(codes: Sequence[str], typed: str) -> tuple[str, str]:
    """Code and name of a typed line: a first word with a figure in it is a code, else one is made.

    `codes` are those that are taken, in the order of entering.
    """
    first, _, rest = typed.strip().partition(" ")
    if any(character.isdigit() for character in first):
        return first, rest.strip()
    return next_code(codes), typed.strip()
