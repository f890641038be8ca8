"""The id of an entry, and the short form in which it refers to an earlier one.

An id is the entry's number in the file it was made in and that file's origin, in one integer: ids
of several files never meet, and are in the order in which the entries of each were made.
"""

ORIGIN_BITS = 20
"""Low bits of an id that hold the origin of its file; the bits above hold its number."""

LEAST_ID = 1 << ORIGIN_BITS
"""The lower bound of ids, as numbers begin with one."""

NEXT_ID = 1 << ORIGIN_BITS
"""Distance between the ids of two entries of consecutive numbers."""


def entry_id(number: int, origin: int) -> int:
    """The id of an entry by its number in the file and the file's origin."""
    return number << ORIGIN_BITS | origin


def kept_back(entry: int, earlier: int) -> int:
    """The form in which an entry stores the id of an earlier one: a distance where it is short.

    Below `LEAST_ID` it is that distance, within one origin. An id that is farther back, later, or
    of another origin is kept whole, and is never below it. Where logbooks are united both hold as
    they are, since entries keep their ids.
    """
    numbers, of_other_origin = divmod(entry - earlier, LEAST_ID)
    return earlier if of_other_origin or not 0 <= numbers < LEAST_ID else numbers
