"""Which courses are usual against the pests of a plant, and what in a course follows a pest."""

from collections.abc import Iterable, Sequence
from datetime import date

from rounds import words
from rounds.core.biology.stages import EGG
from rounds.core.collection import Plant
from rounds.core.lineage import lived
from rounds.core.log.lived import ancestors, lived_log
from rounds.core.parameters import Parameters
from rounds.service.courses.schedule import EggDays
from rounds.service.courses.templates import Template
from rounds.service.logbook.book import Logbook
from rounds.store import log
from rounds.words.pests import pests_text


def usual_among(template: Template, pests: Sequence[str], table: Parameters) -> tuple[str, ...]:
    """Those of some pests that a course is usual against.

    A grower's own file may name them; where it does not, and no pest's file names the course, it
    is held to be for all.
    """
    if template.pests is not None:
        return tuple(pest for pest in pests if pest in template.pests)
    if template.is_own and not template.is_shipped_too:
        return tuple(pests)
    return tuple(pest for pest in pests if template.code in table.pests[pest].courses)


def is_usual(template: Template, pests: Sequence[str], table: Parameters) -> bool:
    """Whether a course is usual against any of some pests."""
    return bool(usual_among(template, pests, table))


def unusual_text(template: Template, pests: Sequence[str], table: Parameters) -> str:
    """Not usual against spider mite: of the pests of a plant those it is not for; empty for all."""
    met = usual_among(template, pests, table)
    others = [pest for pest in pests if pest not in met]
    return words.say("courses.fitting.unusual", pests=pests_text(others)) if others else ""


def marked_unusual(text: str, pests: Sequence[str]) -> str:
    """A course that is usual against none of the pests of a plant, with that word."""
    code = "way" if len(pests) == 1 else "way-several"
    return words.say(f"courses.fitting.{code}", text=text, pests=pests_text(pests))


def usual_first(
    known: Iterable[Template], pests: Sequence[str], table: Parameters
) -> tuple[Template, ...]:
    """Courses in their order, those that are usual against any of some pests before the rest."""
    return tuple(sorted(known, key=lambda template: not is_usual(template, pests, table)))


def egg_days(
    logbook: Logbook,
    plant: Plant,
    pests: Sequence[str],
    on: date,
    template: Template | None,
) -> EggDays:
    """How long eggs take to hatch where a plant stands, as warm as it was lately.

    Args:
        logbook: the opened logbook.
        plant: which.
        pests: those it is followed for.
        on: the day.
        template: the course; only the pests that it is usual against count, if there are any.
    """
    met = usual_among(template, pests, logbook.parameters_on(on)) if template else ()
    temperatures, whole = logbook.temperatures(on), lived(plant, logbook.collection().plants)
    days: list[float | None] = []
    apart: list[int] = []
    for pest in met or pests:
        biology = logbook.biology(pest, on)
        rate = temperatures.rate(whole, on, biology.warmth)
        egg = next(stage for stage in biology.stages if stage.code == EGG)
        hatch = (egg.degree_days or 0.0) / rate if rate > 0 else None
        days.append(hatch)
        if biology.spray_least_days is not None and hatch is not None:
            apart.append(max(biology.spray_least_days, round(hatch)))
    told = [each for each in days if each is not None]
    return EggDays(max(told) if len(told) == len(days) else None, min(apart, default=None))


def pests_of(logbook: Logbook, plant: Plant, on: date) -> tuple[str, ...]:
    """The pests a plant is followed for: those said, then those found besides.

    Read from the log alone, as it is asked while a course is written (else `PlantRecord.pests`).
    """
    known = logbook.collection().plants
    said = lived(plant, known).pests_followed(on, logbook.parameters_on(on).default_pest)
    entries = {
        each.id: log.entries_of(logbook.file, each.id, each.first_day, on)
        for each in (plant, *ancestors(plant, known))
    }
    looks = lived_log(plant, known, entries, on)
    found = (tally.pest for look in looks for tally in look.tallies if tally.is_live)
    return tuple(dict.fromkeys((*said, *found)))
