"""In which order plants come."""

from rounds.service.plant.record import PlantRecord

ALIKE = 9
"""decimals of a risk beyond which two are alike: sums side by side differ in the twelfth digit"""


def risk_order(record: PlantRecord) -> tuple[float, str]:
    """Greatest risk first; ties by code, as those are that differ by rounding alone."""
    return -round(record.likely.risk.value, ALIKE), record.plant.code.casefold()


def need_order(record: PlantRecord) -> tuple[tuple[int, int, int], tuple[float, str]]:
    """What is due first, by its claim; then by risk; ties by code."""
    return record.claim.order, risk_order(record)
