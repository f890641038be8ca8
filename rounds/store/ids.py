"""The id of an entry, and how near another entry's is kept to it.

An id is the entry's number in the file it was made in and that file's origin, in one integer: ids
of several files never meet, and are in the order in which the entries of each were made.
"""

ORIGIN_BITS = 20
"""The low bits of an id say in which file the entry was made, the bits above count on."""

LEAST_ID = 1 << ORIGIN_BITS
"""No id is below it, as numbers begin with one."""


def entry_id(number: int, origin: int) -> int:
    """The id of an entry by its number in the file and the file's origin."""
    return number << ORIGIN_BITS | origin


def kept_back(entry: int, earlier: int) -> int:
    """How an entry keeps the id of an earlier one: by how many numbers it lies back.

    Below `LEAST_ID` it is that distance, within one origin. An id that is farther back, later, or
    of another origin is kept whole, and is never below it. Where logbooks are united both hold as
    they are, since entries keep their ids.
    """
    numbers, of_other_origin = divmod(entry - earlier, LEAST_ID)
    return earlier if of_other_origin or not 0 <= numbers < LEAST_ID else numbers
