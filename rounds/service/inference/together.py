"""What is inferred of many plants at once: those without finds side by side, all kept in one go."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from typing import TYPE_CHECKING

from rounds.service.inference.kept import kept_together
from rounds.service.inference.result import PlantResult
from rounds.service.inference.steps import finished
from rounds.service.plan.order import need_order, risk_order
from rounds.service.plant.record import PlantRecord

if TYPE_CHECKING:
    # slow to load, and not needed where all is kept
    from rounds.core.inference.band import Band as BandFound

AT_ONCE = 256
"""plants whose logs are held in memory side by side"""

BANDS_AT_ONCE = 8
"""plants whose bands are worked out side by side, all refits of each"""

BESIDE_AT_ONCE = 64
"""plants whose bands are worked out on a second core in one go: no more are held as they were read
(`evidence.READ_LATELY`)"""

COSTLY = 64
"""coefficients from which a figure is worked out beside those of the other plants"""

FEW = 4
"""most plants that are worked out one by one, as a batch would gain little"""


@contextmanager
def worked_out_together(
    records: Sequence[PlantRecord], *, with_all: bool = False
) -> Iterator[None]:
    """Work out the plants without finds in batches; all results within the block are kept at once.

    Each figure is what it would have been alone, to twelve digits.

    Args:
        records: of the plants.
        with_all: whether bands, intervals of the number left and the days on which plants apart
            may leave are worked out too.
    """
    if not records:
        yield
        return
    with kept_together(records[0].logbook):
        waiting = [record for record in records if not record.known.is_counted]
        waiting = sorted((r for r in waiting if not r.likely.is_known()), key=_alike)
        for first in range(0, len(waiting) if len(waiting) > FEW else 0, AT_ONCE):
            _work_out([record.likely for record in waiting[first : first + AT_ONCE]])
        if with_all:
            _work_out_all(records)
        yield


def _work_out_all(records: Sequence[PlantRecord]) -> None:
    """Figures, intervals, days of leaving and bands; a figure and its interval from one run.

    The bands are worked out on a second core meanwhile, where there is one.
    """
    waiting = sorted((r for r in records if not r.likely.is_band_known()), key=_alike)
    for first in range(0, len(waiting), BESIDE_AT_ONCE):
        _work_out_with_bands(waiting[first : first + BESIDE_AT_ONCE])
    for record in records:
        _work_out_all_but_band(record)
    for _ in bands_in_steps(records):
        pass


def _work_out_all_but_band(record: PlantRecord) -> None:
    record.likely.work_out_with_left()
    # read, so that they are kept
    _ = record.likely.left, record.forecast


def _work_out_with_bands(records: Sequence[PlantRecord]) -> None:
    """On a second core all of the plant that takes longest, and the bands of those without finds.

    The rest is worked out here: about as much, where a few plants have finds.
    """
    # slow to import, and not needed where all is kept
    from rounds.service.inference.beside import Beside

    results = [record.likely for record in records]
    # all that is entered is read by then: the other process cannot
    costs = [_coefficients(result) for result in results]
    longest = results[costs.index(max(costs))]
    is_alone = longest.is_known() or max(costs) < COSTLY
    beside = Beside(
        results[0].basis.logbook.file,
        lambda: (None if is_alone else longest.with_left(), _bands_of(results, longest)),
    )
    for record, cost in zip(records, costs, strict=True):
        if is_alone or record.likely is not longest:
            _work_out_all_but_band(record)
        if cost > 1 and record.likely is not longest:
            # with finds: read, so that it is kept
            _ = record.likely.band
    with_left, bands = beside.result() or (None, {})
    if with_left is not None:
        longest.take_with_left(with_left)
    for number, band in bands.items():
        results[number].take_band(band)


def _coefficients(result: PlantResult) -> int:
    """How many the figure of a plant takes."""
    from rounds.core.inference.answer import BUDGET
    from rounds.core.inference.backward import prepare
    from rounds.core.inference.observed import ImpossibleEntry
    from rounds.core.inference.series import size

    try:
        return size(prepare(result.evidence().log, BUDGET).pooling.caps)
    except ImpossibleEntry:
        return 0


def _bands_of(results: Sequence[PlantResult], longest: PlantResult) -> "dict[int, BandFound]":
    """By number the bands of plants without finds, and of one that has some.

    They are not yet moved along with the figure.
    """
    from rounds.core.inference.band import band_in_steps, bands_of_clean
    from rounds.core.inference.observed import ImpossibleEntry
    from rounds.core.inference.scale import ChanceOutOfRange

    basis, found = results[0].basis, dict[int, "BandFound"]()
    facts = [result.facts for result in results]
    for first in range(0, len(facts), BANDS_AT_ONCE):
        some = facts[first : first + BANDS_AT_ONCE]
        clean = finished(bands_of_clean(some, basis.on, basis.parameters))
        found.update({first + number: band for number, band in clean.items()})
    at = results.index(longest)
    if at not in found:
        with suppress(ImpossibleEntry, ChanceOutOfRange):
            found[at] = finished(band_in_steps(facts[at], basis.on, basis.parameters))
    return found


def bands_in_steps(records: Sequence[PlantRecord]) -> Iterator[None]:
    """Work out the bands that are not kept, plants without finds side by side; with pauses."""
    waiting = [record for record in records if not record.likely.is_band_known()]
    clean = sorted((r for r in waiting if not r.known.is_counted), key=_alike)
    for first in range(0, len(clean), BANDS_AT_ONCE):
        yield from _work_out_bands([r.likely for r in clean[first : first + BANDS_AT_ONCE]])
    for record in waiting:
        yield from record.likely.band_in_steps()


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


def _work_out_bands(results: Sequence[PlantResult]) -> Iterator[None]:
    # slow to import, and not needed where all is kept
    from rounds.core.inference.band import bands_of_clean

    basis = results[0].basis
    facts = [result.facts for result in results]
    found = yield from bands_of_clean(facts, basis.on, basis.parameters)
    for number, band in found.items():
        results[number].take_band(band)


def _work_out(results: Sequence[PlantResult]) -> None:
    # slow to import, and not needed where all is kept
    from rounds.core.inference.side_by_side import answers_of_clean

    found = answers_of_clean([result.evidence().log for result in results])
    for number, (chance, mean) in found.items():
        results[number].take(chance, mean)
