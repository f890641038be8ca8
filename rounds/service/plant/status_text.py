"""How a plant at the end of a day is told in a few words: its place, its standing, its risk."""

from datetime import date

from rounds import words
from rounds.core.plan.score import PlantRisk
from rounds.core.quarantine.criteria import CLEAN_LOOKS, MEDIUM_AND_ROOTS
from rounds.core.quarantine.streak import Streak
from rounds.core.quarantine.warmth import LIMIT_DAYS
from rounds.service.logbook.temperatures import MEAN_OVER_DAYS
from rounds.service.plant.reasons import stretch_text
from rounds.service.plant.status import PlantStatus, ReleaseStatus
from rounds.words.forms import chance_clean, days_text, in_100, looks_text, temperature


def where_text(status: PlantStatus) -> str:
    """Place and spot in words: stair foot, spot 3."""
    place = status.place or ""
    if not status.spot:
        return place
    return words.say("round.place-and-spot", place=place, spot=status.spot)


def standing_text(status: PlantStatus) -> str:
    """Standing in words: apart, day 19; on watch; in the collection."""
    return words.say(f"round.standing.{status.standing}", days=status.days_standing)


def streak_text(status: PlantStatus) -> str:
    """Streak in words: streak 4 looks, 5 days."""
    return streak_words(status.streak)


def streak_words(streak: Streak) -> str:
    """The same of a streak that has gone on since."""
    return words.say("round.streak", looks=looks_text(streak.looks), days=days_text(streak.days))


def clean_text(status: PlantStatus) -> str:
    """Chance clean in words: chance clean 92 in 100."""
    if status.chance_clean is None:
        return words.say("calculating.clean")
    return chance_clean(status.chance_clean)


def risk_text(status: PlantStatus) -> str:
    """Risk in words: risk 41, look first."""
    if status.risk is None:
        return words.say("calculating.risk")
    return words.say("forms.risk", value=round(status.risk.value), word=status.risk.word)


def risk_short(status: PlantStatus) -> str:
    """risk 41; nothing while it is not known, where there is little room."""
    return "" if status.risk is None else risk_text(status).partition(",")[0]


def risk_parts(risk: PlantRisk | None) -> str:
    """risk 33 is made of young 22, laying adults 7, eggs 3; without what rounds to nothing."""
    if risk is None:
        return ""
    parts = [
        words.say("forms.risk-part", what=words.say(f"risk.parts.{part.code}"), value=value)
        for part in risk.parts
        if (value := round(part.value))
    ]
    if not parts:
        return words.say("forms.risk-small", value=round(risk.value))
    return words.say("forms.risk-parts", value=round(risk.value), parts=", ".join(parts))


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
