"""What quarantine waits for, as lines for a person."""

from datetime import date

from rounds import words
from rounds.cli.lines import table
from rounds.core.quarantine.criteria import CHANCE_CLEAN, DEGREE_DAYS, Criterion
from rounds.service.inference.result import Band
from rounds.service.plant.status import PlantStatus, ReleaseStatus
from rounds.service.plant.status_text import lacking_texts, no_date_texts, supposed_texts
from rounds.words.forms import day_month, in_100, with_band
from rounds.words.pests import pest_name

HOLDS = "║"
"""The wall before a criterion that keeps the plant apart."""


def criteria_lines(status: PlantStatus, release: ReleaseStatus) -> list[str]:
    """Each criterion: what there is, what is needed, when it is due; then what that supposes.

    Of several pests the one that binds comes first, each by its name.
    """
    notes = supposed_texts(release, status.on)
    if not status.others:
        return [*_criteria_of(status, release, status.band), *notes]
    lines = [words.say("quarantine.binds", pest=pest_name(status.pest))]
    lines += _criteria_of(status, release, status.band)
    for other in status.others:
        if other.release is not None:
            lines.append(words.say("quarantine.besides", pest=pest_name(other.pest)))
            lines += _criteria_of(status, other.release, other.band)
    return [*lines, *notes]


def _criteria_of(status: PlantStatus, release: ReleaseStatus, band: Band | None) -> list[str]:
    # while insects live on it, its days are no more than an if
    due = "if-clean" if status.is_known_alive else "expected"
    head = ["", *(words.say(f"cli.columns.{title}") for title in ("criterion", "now", "need", due))]
    rows = [_row(each, release.waived_from, band, status.on) for each in release.criteria]
    notes = lacking_texts(release) + no_date_texts(release)
    return [*table([head, *rows], right=(2, 3)), *notes]


def _row(criterion: Criterion, waived_from: float | None, band: Band | None, on: date) -> list[str]:
    need = _figure(criterion.need, criterion.code, "not-asked")
    if criterion.code == DEGREE_DAYS and criterion.met is not True and waived_from is not None:
        need = words.say("why.waived-need", need=need, chance=in_100(waived_from))
    have = _figure(criterion.have, criterion.code, "not-computed")
    if criterion.code == CHANCE_CLEAN and criterion.have is not None and band is not None:
        have = with_band(have, band.low, band.high)
    return [
        " " if criterion.met else HOLDS,
        words.say(f"quarantine.criteria.{criterion.code}"),
        have,
        need,
        _expected(criterion, on),
    ]


def _figure(value: float | None, code: str, missing: str) -> str:
    if value is None:
        return words.say(f"cli.release.{missing}")
    if code == CHANCE_CLEAN:
        return in_100(value)
    return f"{value:.0f}"


def _expected(criterion: Criterion, on: date) -> str:
    if criterion.met:
        return words.say("cli.release.met")
    if criterion.expected_on is None:
        return words.say("cli.release.no-day")
    return day_month(criterion.expected_on, on)
