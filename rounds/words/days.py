"""Days as people write them: what `calendar_day` writes, and a little more, is read back."""

from datetime import date

from rounds import words

SHORTEST = 3
"""letters of a month's name that are enough"""


def written_day(text: str, on: date) -> date | None:
    """8 November, 8 Nov 2026, November 8; None where it is no such day.

    Without a year it is the one nearest to `on`.
    """
    parts = text.replace(",", " ").replace(".", " ").split()
    if not 2 <= len(parts) <= 3:
        return None
    first, second, *rest = parts
    day, named = (first, second) if first.isdigit() else (second, first)
    month = _month(named)
    if month is None or not day.isdigit() or not all(year.isdigit() for year in rest):
        return None
    years = [int(year) for year in rest] or [on.year - 1, on.year, on.year + 1]
    found = [each for year in years if (each := _day(year, month, int(day))) is not None]
    return min(found, key=lambda each: abs((each - on).days), default=None)


def _month(named: str) -> int | None:
    """The number of a month by its name, or by how it begins."""
    if len(named) < SHORTEST:
        return None
    names = words.section("forms.months").values()
    meant = [n for n, name in enumerate(names, 1) if name.casefold().startswith(named.casefold())]
    return meant[0] if len(meant) == 1 else None


def _day(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None
