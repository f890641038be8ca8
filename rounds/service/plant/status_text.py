"""How a plant at the end of a day is told in a few words: its place, its standing, its risk."""

from datetime import date
from typing import TYPE_CHECKING

from rounds import words
from rounds.core.plan.score import Part, PlantRisk
from rounds.core.quarantine.criteria import CLEAN_LOOKS, MEDIUM_AND_ROOTS, Criterion
from rounds.core.quarantine.streak import Streak
from rounds.core.quarantine.warmth import LIMIT_DAYS
from rounds.service.logbook.temperatures import MEAN_OVER_DAYS
from rounds.service.plant.reasons import stretch_text
from rounds.service.plant.status import PestStatus, PlantStatus, ReleaseStatus
from rounds.words.forms import (
    band_in_column,
    calendar_day,
    chance_clean,
    days_text,
    in_100,
    looks_text,
    out_of_100,
    temperature,
    whole_number,
    with_band,
)
from rounds.words.pests import pest_name

if TYPE_CHECKING:
    # slow to load, and not needed where nothing is told of it
    from rounds.service.inference.why import HoldsDown, Sooner

LEAST_TOLD = 0.5
"""points of 100 from which a reason is told in words"""
MOST_HELD, MOST_SOONER = 3, 3
"""how many are told in a line"""


def where_text(status: PlantStatus) -> str:
    """Place and spot in words: stair foot, spot 3."""
    place = status.place or ""
    if not status.spot:
        return place
    return words.say("round.place-and-spot", place=place, spot=status.spot)


def standing_text(status: PlantStatus) -> str:
    """Standing in words: day 19 of quarantine; on watch from today; in the collection."""
    begins = status.standing in ("quarantine", "watch") and status.days_standing == 0
    code = f"{status.standing}-today" if begins else status.standing
    return words.say(f"round.standing.{code}", days=status.days_standing)


def streak_text(status: PlantStatus) -> str:
    """Streak in words: streak 4 looks, 5 days."""
    return streak_words(status.streak)


def streak_words(streak: Streak) -> str:
    """The same of a streak that has gone on since."""
    return words.say("round.streak", looks=looks_text(streak.looks), days=days_text(streak.days))


def pest_texts(status: PlantStatus) -> list[str]:
    """Of a plant with several pests the one that binds, then how it stands with each other one."""
    if not status.others:
        return []
    code = "binding" if status.release is not None else "spoken-of"
    first = words.say(f"quarantine.{code}", pest=pest_name(status.pest))
    return [first, *map(_other_pest, status.others)]


def _other_pest(of: PestStatus) -> str:
    """How a plant stands with a pest that does not bind: what is unmet; else chance and streak."""
    name = pest_name(of.pest)
    if of.release is not None and of.release.is_cleared:
        return words.say("quarantine.other-cleared", pest=name, all=len(of.release.criteria))
    if of.release is not None:
        unmet = ", ".join(_have_of(c) for c in of.release.criteria if c.met is not True)
        return words.say("quarantine.of-pest", pest=name, what=unmet)
    known = of.chance_clean
    clean = words.say("calculating.clean") if known is None else chance_clean(known)
    streak = streak_words(of.streak)
    return words.say("quarantine.other-pest", pest=name, clean=clean, streak=streak)


def _have_of(criterion: Criterion) -> str:
    """What there is of one criterion, and what is asked: days 19 of 30."""
    have, need = criterion.have, criterion.need
    if criterion.unit == "chance":
        now = words.say("cli.release.not-computed") if have is None else in_100(have)
        said = [now, in_100(need or 0)]
    else:
        said = [f"{have or 0:.0f}", f"{need or 0:.0f}"]
    name = words.say(f"quarantine.short.{criterion.code}")
    return words.say("quarantine.have-of", name=name, have=said[0], need=said[1])


def clean_text(status: PlantStatus, width: int | None = None) -> str:
    """Chance clean in words, with its band once that is known: chance clean 92 in 100, 84 to 96.

    In few columns: chance clean 92 (84-96), 25 at the most.
    """
    if status.chance_clean is None:
        return words.say("calculating.clean")
    said, band = chance_clean(status.chance_clean), status.band
    if band is None:
        return said
    full = with_band(said, band.low, band.high)
    if full == said or _has_room(full, width):
        return full
    brief = band_in_column(status.chance_clean, band.low, band.high)
    return words.say("band.clean-brief", chance=brief)


def clean_in_column(status: PlantStatus, unknown: str) -> str:
    """The same in a column of chances, twelve wide: 92, then 92 (84-96)."""
    chance, band = status.chance_clean, status.band
    if chance is None:
        return unknown
    return band_in_column(chance, band.low, band.high) if band else out_of_100(chance)


def band_line(status: PlantStatus, width: int | None = None) -> str:
    """What moves the chance clean most: lowest if your eye is half as good.

    Before any look, that nobody has looked. Empty where nothing lowers it by as much as is told.

    Args:
        status: of the plant.
        width: of the line; where it is short, it is told in fewer words.
    """
    if status.standing == "gone":
        return ""
    if status.last_look_on is None:
        said = words.say("band.never-looked")
        return said if _has_room(said, width) else words.say("band.brief.never-looked")
    chance, band = status.chance_clean, status.band
    if chance is None or band is None:
        return words.say("band.calculating")
    if out_of_100(band.low) == out_of_100(chance):
        return ""
    said = low_text(band.low_why)
    if _has_room(said, width):
        return said
    brief = words.section("band.brief").get(band.low_why)
    return words.say("band.lowest", what=brief) if brief else said


def low_text(code: str) -> str:
    """What is assumed otherwise at the low end of a band: lowest if your eye is half as good."""
    return words.say("band.lowest", what=words.say(f"band.what.{code}"))


def _has_room(text: str, width: int | None) -> bool:
    return width is None or len(text) <= width


def told_held(status: PlantStatus) -> "list[HoldsDown]":
    """What holds its chance clean down; what makes less than half a point is not told."""
    if status.why is None:
        return []
    return [held for held in status.why.holds_down if held.points >= LEAST_TOLD]


def is_held_together(status: PlantStatus) -> bool:
    """Whether so much was found that taking one thing away alone leaves all as it is."""
    low = status.chance_clean is not None and 100 * status.chance_clean < 100 - LEAST_TOLD
    found = status.why is not None and status.last_find_on is not None
    return found and low and not told_held(status)


def held_line(status: PlantStatus, width: int | None = None) -> str:
    """What holds it down in a line: the largest, and two further ones where these fit in whole.

    Args:
        status: of the plant.
        width: of the line; without one, it is told in full.
    """
    if is_held_together(status):
        return words.say("why.held-together")
    told = [_held_text(held, width) for held in told_held(status)[:MOST_HELD]]
    for first in range(len(told), 0, -1):
        # each is what would be gained without it alone: together they gain less
        code = "held-down" if first == 1 else "held-down-several"
        line = words.say(f"why.{code}", reasons=_listed(_points_once(told[:first])))
        if width is None or first == 1 or len(line) <= width:
            return line
    return ""


def sooner_line(status: PlantStatus, width: int | None = None) -> str:
    """What would bring its day nearer, each with its day, as many as fit into the width."""
    earlier = _ways(status, is_earlier=True)[:MOST_SOONER]
    lines = [_said_sooner(earlier[:first], status) for first in range(len(earlier), 0, -1)]
    fits = (line for line in lines if width is None or len(line) <= width)
    return next(fits, lines[-1] if lines else "")


def holds_line(status: PlantStatus) -> str:
    """What the day named rests on: 28 May only if it is moved away."""
    return next(iter(_holds(status)), "")


def _holds(status: PlantStatus) -> list[str]:
    return [
        words.say("why.holds-if", text=way.text, day=_day(way, status))
        for way in _ways(status, is_earlier=False)
    ]


def ways_told(status: PlantStatus) -> list[tuple[str, str]]:
    """The same a line each: the way and the day that it would give; what a day rests on whole."""
    earlier = [(way.text, _day(way, status)) for way in _ways(status, is_earlier=True)]
    return [*earlier, *((text, "") for text in _holds(status))]


def _said_sooner(ways: "list[Sooner]", status: PlantStatus) -> str:
    texts = [words.say("why.gives", text=way.text, day=_day(way, status)) for way in ways]
    return words.say("why.sooner-line", ways=_listed(texts))


def _ways(status: PlantStatus, *, is_earlier: bool) -> "list[Sooner]":
    """The ways that give an earlier day than the one named; or those that it holds with."""
    named = status.release.expected_on if status.release else None
    ways = status.why.sooner if status.why else ()
    return [w for w in ways if (named is None or w.expected_on < named) is is_earlier]


def _day(way: "Sooner", status: PlantStatus) -> str:
    return calendar_day(way.expected_on, status.on)


def misfit_line(status: PlantStatus) -> str:
    """How its finds are not such as the sums foretold, and what may explain it."""
    misfit = status.why and status.why.misfit
    return misfit_text(misfit) if misfit else ""


def misfit_text(code: str) -> str:
    """The same from its code."""
    return words.say(f"fit.{code}")


def collection_misfit_text(code: str) -> str:
    """What would make the finds of all plants together far likelier, were it assumed."""
    return words.say("fit.all", what=words.say(f"band.what.{code}"))


def moved_line(status: PlantStatus) -> str:
    """What moved the day on which it may leave, where it moved far."""
    moved = status.why and status.why.moved
    return moved.text if moved else ""


def _listed(texts: list[str]) -> str:
    return words.say("forms.and").join(texts)


def _held_text(held: "HoldsDown", width: int | None) -> tuple[str, int]:
    return held.text if width is None else held.brief, round(held.points)


def _points_once(told: list[tuple[str, int]]) -> list[str]:
    """Reasons with their points, the word for these said once."""
    found = []
    for number, (text, points) in enumerate(told):
        code = "further" if number else "point" if points == 1 else "points"
        found.append(words.say(f"why.{code}", text=text, points=points))
    return found


def risk_text(status: PlantStatus) -> str:
    """Risk in words: risk 41, look first."""
    if status.risk is None:
        return words.say("calculating.risk")
    return words.say("forms.risk", value=whole_number(status.risk.value), word=status.risk.word)


def risk_short(status: PlantStatus) -> str:
    """risk 41; nothing while it is not known, where there is little room."""
    return "" if status.risk is None else risk_text(status).partition(",")[0]


def part_text(part: Part) -> str:
    """What a part of a risk is called; of a pest that is not its plant's first with its name."""
    text = words.say(f"risk.parts.{part.code}")
    return words.say("risk.of-pest", part=text, pest=pest_name(part.pest)) if part.pest else text


def risk_parts(risk: PlantRisk | None) -> str:
    """risk 33 is made of young 22, laying adults 7, eggs 3; without what rounds to nothing."""
    if risk is None:
        return ""
    parts = [
        words.say("forms.risk-part", what=part_text(part), value=value)
        for part in risk.parts
        if (value := round(part.value))
    ]
    if not parts:
        return words.say("forms.risk-small", value=whole_number(risk.value))
    return words.say("forms.risk-parts", value=whole_number(risk.value), parts=", ".join(parts))


def supposed_texts(release: ReleaseStatus, on: date) -> list[str]:
    """What the days expected suppose; nothing where none is named."""
    if not any(c.met is not True and c.expected_on for c in release.criteria):
        return []
    days = release.interval_days
    code = "usual" if days > 1 else "daily"
    said = {"days": days, "mean": temperature(release.mean_c), "over": MEAN_OVER_DAYS}
    texts = [words.say(f"forecast.{code if release.interval_is_told else 'untold'}", **said)]
    texts += [words.say("forecast.away", span=stretch_text(s, on)) for s in release.away[:1]]
    if any(c.code == MEDIUM_AND_ROOTS and (c.have or 0) < (c.need or 0) for c in release.criteria):
        texts.append(words.say("forecast.roots"))
    if release.beside:
        texts.append(words.say("forecast.beside", codes=", ".join(release.beside)))
    return texts if release.is_exact else [*texts, words.say("forecast.pooled")]


def lacking_texts(release: ReleaseStatus) -> list[str]:
    """Why looks are still wanted though there seem to be enough of them."""
    texts = []
    for criterion in release.criteria:
        lacks = criterion.lacks
        if lacks is not None:
            code = f"{lacks.kind}{'' if lacks.have else '-none'}"
            said = {"have": criterion.have, "need": criterion.need, "of": lacks.need}
            said |= {"days": release.recent_days, "gap": release.gap_days, "counted": lacks.have}
            texts.append(words.say(f"forecast.lacking.{code}", **said))
    return texts


def no_date_texts(release: ReleaseStatus) -> list[str]:
    """Why there is no date on which a plant may leave quarantine; nothing where there is one."""
    if not release.is_forecast or release.ready or release.expected_on is not None:
        return []
    unmet = {c.code: c for c in release.criteria if c.met is False and c.expected_on is None}
    if CLEAN_LOOKS in unmet:
        # for want of these the medium is not seen often enough either
        unmet.pop(MEDIUM_AND_ROOTS, None)
    if not unmet:
        return [words.say("forecast.no-date.together", limit=LIMIT_DAYS)]
    is_rare = release.interval_days > release.gap_days
    texts = []
    for code, criterion in unmet.items():
        need = criterion.need or 0
        said = {
            "days": release.interval_days,
            "gap": release.gap_days,
            "limit": LIMIT_DAYS,
            "mean": temperature(release.mean_c),
            "need": in_100(need) if criterion.unit == "chance" else f"{need:.0f}",
        }
        rare = "-rare" if code == CLEAN_LOOKS and is_rare else ""
        texts.append(words.say(f"forecast.no-date.{code}{rare}", **said))
    return texts
