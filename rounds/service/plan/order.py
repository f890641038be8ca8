"""In which order plants come."""

from rounds.service.plant.record import PlantRecord


def risk_order(record: PlantRecord) -> tuple[float, str]:
    """Greatest risk first; ties by code."""
    return record.risk.place, record.plant.code.casefold()


def need_order(record: PlantRecord) -> tuple[tuple[int, int, int], tuple[float, str]]:
    """What is due first, by its claim; then by risk; ties by code."""
    return record.claim.order, risk_order(record)
