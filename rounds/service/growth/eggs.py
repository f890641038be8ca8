"""When the eggs on a plant hatch, and when to look hardest for the young."""

from datetime import date

from rounds import words
from rounds.core.away import Stretch
from rounds.core.quarantine.brood import Brood, EggWarmth, last_brood
from rounds.service.plant.reasons import stretch_text
from rounds.service.plant.record import PlantRecord
from rounds.words.forms import calendar_day


def brood_of(record: PlantRecord) -> Brood | None:
    """The eggs laid up to the last find that may have laid; None without one, or where all hatched.

    What was left there may lay on: its later eggs are not told.
    """
    # insects seen when it came may have laid, as a find of no recorded stage may
    days = [day for day in (record.known.laid_on, record.insects_seen_on) if day is not None]
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
    return brood if brood.last is None or brood.last > record.on else None


def brood_text(brood: Brood | None, on: date) -> str:
    """In words: eggs laid so far hatch 5 to 19 May; look hardest about 10 May.

    Empty where none are to come, or it is too cold for any to hatch within reach.
    """
    if brood is None or brood.first is None:
        return ""
    if brood.last is None:
        first = calendar_day(brood.first, on)
        return words.say("growth.eggs.from", day=first)
    if brood.first > on:
        when = words.say(
            "growth.eggs.span", span=stretch_text(Stretch(brood.first, brood.last), on)
        )
    else:
        when = words.say("growth.eggs.until", day=calendar_day(brood.last, on))
    usual = brood.usual or brood.last
    hardest = "now" if usual <= on else "about"
    look = words.say(f"growth.eggs.{hardest}", day=calendar_day(usual, on))
    return words.say("growth.eggs.and", when=when, look=look)
