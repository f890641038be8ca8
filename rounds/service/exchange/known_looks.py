"""Which rows of looks the logbook holds already, and which are new."""

from collections import Counter
from collections.abc import Iterable, Iterator

from rounds.store import LogbookFile
from rounds.store.held import LookContent, held_looks
from rounds.store.waiting import Compared, WaitingLooks


def mark_known(file: LogbookFile, waiting: WaitingLooks) -> int:
    """Mark the rows the logbook holds, instead of what was marked before; how many those are.

    A row without key is known when as many identical ones are held as were met above it, less
    those that rows with a known key stand for. Identical looks are of one person and day, so that
    one day's looks are in memory at a time.
    """
    waiting.forget_known()
    known = 0
    for of in waiting.rounds_to_compare():
        held = Counter(held_looks(file, of.day, of.who))
        if held:
            for row in waiting.rows_of_held_keys(of):
                held.subtract(row.looks)
            rows = list(_known(waiting.rows_without_key(of), held))
            waiting.mark_known(rows)
            known += len(rows)
    return known + waiting.mark_known_keys()


def _known(rows: Iterable[Compared], held: Counter[LookContent]) -> Iterator[tuple[int, ...]]:
    """The numbers of the looks of each row that is held; `held` is counted down."""
    for numbers, looks in rows:
        if all(held[look] > 0 for look in looks):
            held.subtract(looks)
            yield numbers
