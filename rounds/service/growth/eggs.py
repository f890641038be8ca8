"""When the eggs on a plant hatch, and when to look hardest for the young."""

from dataclasses import replace
from datetime import date

from rounds import words
from rounds.core.away import Stretch
from rounds.core.quarantine.brood import Brood, EggWarmth, last_brood
from rounds.service.plant.reasons import stretch_text
from rounds.service.plant.record import PlantRecord
from rounds.words.forms import calendar_day


def brood_of(record: PlantRecord) -> Brood | None:
    """The eggs laid up to the last find that may have laid; None without one, or where all hatched.

    Those of the pest that binds, else of the next one that has some. What was left there may lay
    on: its later eggs are not told.
    """
    found = (_of_pest(of) for of in (record, *record.others))
    return next((brood for brood in found if brood is not None), None)


def _of_pest(record: PlantRecord) -> Brood | None:
    known, seen_on = record.of_pest(record.pest), record.insects_seen_on
    # insects seen when it came may have laid, as a find of no recorded stage may
    seen = seen_on if seen_on in known.live_on else None
    days = [day for day in (known.laid_on, seen) if day is not None]
    if not days:
        return None
    biology = record.biology
    least, most = biology.egg_degree_days
    brood = last_brood(
        max(days),
        EggWarmth(least, biology.stages[0].degree_days or least, most),
        record.degree_days_between,
        record.temperatures.rate(record.lived, record.on, biology.warmth),
        record.on,
    )
    is_to_come = brood.last is None or brood.last > record.on
    return replace(brood, pest=record.pest) if is_to_come else None


def brood_text(brood: Brood | None, on: date, *, brief: bool = False) -> str:
    """In words: eggs laid so far hatch 5 to 19 May; look hardest about 10 May.

    Empty where none are to come, or it is too cold for any to hatch within reach. `brief`: the same
    where there is little room.
    """
    eggs = "eggs-brief" if brief else "eggs"
    if brood is None or brood.first is None:
        return ""
    if brood.last is None:
        first = calendar_day(brood.first, on)
        return words.say(f"growth.{eggs}.from", day=first)
    if brood.first > on:
        when = words.say(
            f"growth.{eggs}.span", span=stretch_text(Stretch(brood.first, brood.last), on)
        )
    else:
        when = words.say(f"growth.{eggs}.until", day=calendar_day(brood.last, on))
    usual = brood.usual or brood.last
    hardest = "now" if usual <= on else "about"
    look = words.say(f"growth.eggs.{hardest}", day=calendar_day(usual, on))
    return words.say("growth.eggs.and", when=when, look=look)
