"""How well the grower's eye finds, from the logs of the plants on which something was found."""

from collections.abc import Generator, Iterable
from contextlib import suppress
from datetime import date, timedelta

from rounds.core.estimates.own_detection import OwnDetection, pairs_among, times_tried
from rounds.core.estimates.own_detection import own_detection as rate_of
from rounds.core.log.effective import EffectiveLook
from rounds.core.parameters import Parameters
from rounds.service.inference.facts import facts_of
from rounds.service.inference.kept import digest, parameters_digest
from rounds.service.learned.told import Made, Told, kept_in_steps
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.choices import OFF, chosen
from rounds.service.plant.record import PlantRecord

SETTING = "own-eye"
DECIMALS = 3
"""to which the factor is rounded: finer changes no figure on a screen"""
EYE_VERSION = 1
"""Increased whenever the same log may tell another chance by theta."""


Steps = Generator[None, None, OwnDetection]


def learned_in_steps(
    logbook: Logbook, records: Iterable[PlantRecord], on: date, kept_as: str = ""
) -> Steps:
    """From all days before one, so that a day is worked out with one value.

    Crawlers from neighbours and what mates tell are left out, as they rest on the factor itself.
    A part of a divided plant is left out too: the find that it shares is counted at the whole.

    Args:
        logbook: the opened one.
        records: every plant that came, also those that are gone, at the end of `on`.
        on: the day; what was entered on it is not read.
        kept_as: prefix of the names under which the chances are kept.

    Raises:
        NotKept: a chance is not kept, and nothing may be worked out.
    """
    if chosen(logbook, SETTING) == OFF:
        return OwnDetection(is_used=False)
    parameters = logbook.parameters_on(on)
    chances, pairs, found = [], 0, 0
    for told in _telling(records, on, parameters):
        table_key = digest(EYE_VERSION, parameters_digest(parameters, told.pest))
        of = yield from kept_in_steps(told, "eye", table_key, kept_as, _work_out)
        if of["chances"]:
            chances.append(of["chances"])
            pairs, found = pairs + of["pairs"], found + of["found"]
    if not chances:
        return OwnDetection()
    found_adults = parameters.pests[parameters.default_pest].stages[-1].found_in_reach
    rate = rate_of(chances, found_adults, parameters.second_looks)
    mean, low, high = (round(each, DECIMALS) for each in (rate.mean, rate.low, rate.high))
    return OwnDetection(mean, low, high, pairs, found)


def _telling(records: Iterable[PlantRecord], on: date, parameters: Parameters) -> Iterable[Told]:
    """Plants with a live find in the last days that a long log is read back, by pest."""
    since = on - timedelta(days=parameters.infestation.reading_days)
    for record in records:
        until = record.past.last_look_on
        if record.parent is None and until is not None:
            for pest in record.pests:
                is_found = any(since <= day < on for day in record.of_pest(pest).live_on)
                # at least so many says nothing of how well an eye finds
                if is_found and not record.logbook.biology(pest, on).counted_from:
                    yield Told(record, pest, until)


def _work_out(told: Told) -> Made:
    """Chances by theta, in short steps; none where the entries cannot happen, which its page says.

    Plain data: `chances`, and of the looks they rest on the `pairs` and the insects `found`.
    """
    from rounds.core.inference.detection import log_chances, read_until_full
    from rounds.core.inference.evidence import gather
    from rounds.core.inference.observed import ImpossibleEntry
    from rounds.core.inference.scale import ChanceOutOfRange

    record, parameters = told.record, told.record.table
    facts = facts_of(record, told.pest, None, {}, until=told.until)
    yield
    evidence = gather(facts, told.until, parameters)
    read = read_until_full(evidence.log)
    yield
    with suppress(ImpossibleEntry, ChanceOutOfRange):
        times = times_tried(parameters.second_looks)
        chances = yield from log_chances(read, times, evidence.log)
        last = evidence.begins + timedelta(days=len(read.days) - 1)
        looks = [look for look in facts.looks if evidence.begins <= look.day <= last]
        return {"chances": chances, "pairs": pairs_among(looks), "found": _found(looks, told.pest)}
    return {"chances": [], "pairs": 0, "found": 0}


def _found(looks: Iterable[EffectiveLook], pest: str) -> int:
    return sum(look.live(pest) for look in looks)
