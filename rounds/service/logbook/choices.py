"""Settings that are one of a few words: each with its choices, the usual one first."""

from collections.abc import Sequence
from typing import Final

from rounds.errors import BadInput
from rounds.service.logbook.book import Logbook
from rounds.words.display import DateStyle, Display

ON, OFF = "on", "off"
DEGREES_F, FLUID_OUNCES = "degF", "fl-oz"

CHOICES: Final[dict[str, tuple[str, ...]]] = {
    "rules": ("default", "lenient", "strict"),
    "second-looks": (ON, OFF),
    "own-eye": (ON, OFF),
    "own-pace": (ON, OFF),
    "hygiene": (ON, OFF),
    "backups": (ON, OFF),
    "degrees": ("degC", DEGREES_F),
    "volumes": ("ml", FLUID_OUNCES),
    "dates": ("day-month", "month-day", "iso"),
}


def chosen(logbook: Logbook, name: str, among: Sequence[str] = ()) -> str:
    """The value of a setting; the usual one where none, or none that is known, was chosen.

    `among` are the choices of a setting that only the screens know, the usual one first.
    """
    choices = among or CHOICES[name]
    kept = logbook.setting(name)
    return kept if kept is not None and kept in choices else choices[0]


def choose(logbook: Logbook, name: str, value: str, among: Sequence[str] = ()) -> None:
    """Keep a choice. BadInput where it is none."""
    choices = among or CHOICES[name]
    if value not in choices:
        raise BadInput("not-one-of", given=value, allowed=", ".join(choices), field=name)
    logbook.put_setting(name, value)


def choose_next(logbook: Logbook, name: str, among: Sequence[str] = ()) -> str:
    """Go on to the choice after the one that holds, in a circle; which it is."""
    choices = among or CHOICES[name]
    following = choices[(choices.index(chosen(logbook, name, choices)) + 1) % len(choices)]
    choose(logbook, name, following, choices)
    return following


def display_of(logbook: Logbook) -> Display:
    """How this logbook's screens write days, temperatures and volumes."""
    dates: dict[str, DateStyle] = {"month-day": "month-day", "iso": "iso"}
    return Display(
        dates=dates.get(chosen(logbook, "dates"), "day-month"),
        fahrenheit=chosen(logbook, "degrees") == DEGREES_F,
        fluid_ounces=chosen(logbook, "volumes") == FLUID_OUNCES,
    )
