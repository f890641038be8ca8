"""How a plant at the end of a day is told in a few words: its place, its standing, its risk."""

from rounds import words
from rounds.core.plan.score import PlantRisk
from rounds.core.quarantine.streak import Streak
from rounds.service.plant.status import PlantStatus
from rounds.words.forms import chance_clean, days_text, looks_text


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
