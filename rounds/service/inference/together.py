"""What is inferred of many plants at once: those without finds side by side, all kept in one go."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager

from rounds.service.inference.kept import kept_together
from rounds.service.inference.result import PlantResult
from rounds.service.plan.order import need_order, risk_order
from rounds.service.plant.record import PlantRecord

AT_ONCE = 256
"""plants whose logs are held in memory side by side"""


FEW = 24
"""most plants that are worked out one by one, as a batch would gain little"""


@contextmanager
def worked_out_together(records: Sequence[PlantRecord]) -> Iterator[None]:
    """Work out the plants without finds in batches; all results within the block are kept at once.

    Each figure is what it would have been alone, to twelve digits.
    """
    if not records:
        yield
        return
    with kept_together(records[0].logbook):
        waiting = [record for record in records if not record.known.is_counted]
        waiting = sorted((r for r in waiting if not r.likely.is_known()), key=_alike)
        for first in range(0, len(waiting) if len(waiting) > FEW else 0, AT_ONCE):
            _work_out([record.likely for record in waiting[first : first + AT_ONCE]])
        yield


def in_order(found: Sequence[PlantRecord]) -> list[PlantRecord]:
    """Plants in order of need: those due, by their claim, then by risk; ties by code."""
    with worked_out_together(found):
        return sorted(found, key=need_order)


def by_risk(found: Sequence[PlantRecord]) -> list[PlantRecord]:
    """Greatest risk first; ties by code."""
    with worked_out_together(found):
        return sorted(found, key=risk_order)


def _alike(record: PlantRecord) -> tuple[int, tuple[str, ...]]:
    """Sort key that puts plants of one place and form together: they share their days."""
    move = record.lived.move_on(record.on)
    zones = tuple(zone.zone for zone in record.body.zones)
    return (move.place_id if move else 0), zones


def _work_out(results: Sequence[PlantResult]) -> None:
    # slow to import, and not needed where all is kept
    from rounds.core.inference.side_by_side import answers_of_clean

    found = answers_of_clean([result.evidence().log for result in results])
    for number, (chance, mean) in found.items():
        results[number].take(chance, mean)
