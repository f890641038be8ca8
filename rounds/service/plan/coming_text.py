"""What is expected on the next days, in words."""

from datetime import date

from rounds import words
from rounds.service.plan.coming import Coming
from rounds.service.plant.reasons import stretch_text
from rounds.words.forms import calendar_day


def what_text(line: Coming) -> str:
    """What is due: may rejoin the others."""
    return _say(line.kind)


def brief_text(line: Coming) -> str:
    """The same in fewer words."""
    return _say(f"{line.kind}-narrow")


def meaning_text(line: Coming, on: date) -> str:
    """What a line means: what is to be done, or what is still waited for."""
    if line.waits:
        what = [words.say(f"quarantine.short.{code}") for code in line.waits]
        return _say("means.then-still", what=", ".join(what))
    if line.brood is not None:
        return _say(f"means.{line.kind}", day=calendar_day(line.brood.laid_by, on))
    if line.away is not None:
        return _say(f"means.{line.kind}", span=stretch_text(line.away, on))
    known = words.section("sight.coming.means")
    return known.get(line.kind) or _say("means.then-all")


def _say(code: str, **values: object) -> str:
    return words.say(f"sight.coming.{code}", **values)
