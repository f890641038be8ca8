"""What is inferred of many plants at once: those without finds side by side, all kept in one go."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING

from rounds.service.inference.kept import kept_together

if TYPE_CHECKING:
    from rounds.service.inference.result import PlantResult
    from rounds.service.plant.record import PlantRecord

AT_ONCE = 256
"""plants whose logs are held in memory side by side"""


FEW = 24
"""plants that are worked out one by one: side by side they would gain little"""


@contextmanager
def worked_out_together(records: Sequence["PlantRecord"]) -> Iterator[None]:
    """Work out the plants without finds, then do what is asked; what comes of it is kept at once.

    Each figure is what it would have been alone, to twelve digits.
    """
    if not records:
        yield
        return
    with kept_together(records[0].logbook):
        waiting = [record.likely for record in records if _is_clean(record)]
        waiting = sorted((r for r in waiting if not r.is_known()), key=_alike)
        for first in range(0, len(waiting) if len(waiting) > FEW else 0, AT_ONCE):
            _work_out(waiting[first : first + AT_ONCE])
        yield


def _is_clean(record: "PlantRecord") -> bool:
    return not any(look.tallies for look in record.log)


def _alike(result: "PlantResult") -> tuple[int, tuple[str, ...]]:
    """Plants of one place and one form share their days."""
    move = result.record.lived.move_on(result.record.on)
    zones = tuple(zone.zone for zone in result.record.body.zones)
    return (move.place_id if move else 0), zones


def _work_out(results: Sequence["PlantResult"]) -> None:
    # slow to import, and not needed where all is kept
    from rounds.core.inference.side_by_side import answers_of_clean

    found = answers_of_clean([result.evidence().log for result in results])
    for number, (chance, mean) in found.items():
        results[number].take(chance, mean)
