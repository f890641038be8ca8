"""What a course comes to at a plant, said before it is begun; and what is due when, once it is."""

from collections.abc import Iterator, Sequence
from datetime import date

from rounds import words
from rounds.core.log.courses import NO_LABEL
from rounds.core.parameters import Kills
from rounds.service.courses.advice import Option
from rounds.service.courses.fitting import egg_days, unusual_text
from rounds.service.courses.schedule import planned_steps
from rounds.service.courses.standing import CourseRunning, kills_of
from rounds.service.courses.templates import Template
from rounds.service.plant.record import PlantRecord
from rounds.words.forms import day_month, in_100

MOST_DATES = 5
"""told one by one; of more, the first two and the last"""

KILLED = ("in_reach", "eggs", "tucked", "below")
"""Where insects are, as a treatment tells them apart (`Kills`)."""

ABOVE = KILLED[:-1]
"""not in the pot; where all of these are spared, the first stands for them"""


def about_texts(record: PlantRecord, template: Template) -> tuple[str, ...]:
    """How often it is done and when, if it is begun today; what it does, and what it does not.

    In whole sentences, what says most first.
    """
    unusual = unusual_text(template, record.pests, record.table)
    said = (unusual, _plan_text(record, template), *_does(record, template))
    return tuple(filter(None, said))


def _plan_text(record: PlantRecord, template: Template) -> str:
    if template.needs_label:
        return _say("by-label")
    on, rules = record.on, record.table.advice
    hatch = egg_days(record.logbook, record.plant, record.pests, on, template)
    steps = planned_steps(template, NO_LABEL, on, hatch, rules.most_times)
    first, last = day_month(steps[0].due_on, on), day_month(steps[-1].due_on, on)
    if len(steps) == 1:
        return _say("once")
    gaps = {step.after_days for step in steps[1:]}
    if len(template.steps) > 1 or len(gaps) > 1:
        return _say("steps", steps=len(steps), first=first, last=last)
    (gap,) = gaps
    return _say("times", times=len(steps), days=gap, first=first, last=last)


def _does(record: PlantRecord, template: Template) -> Iterator[str]:
    own = words.section("courses.about.kind")
    for step in {step.kind: step for step in template.steps}.values():
        kills = kills_of(step.kind, NO_LABEL, record.table, record.pest)
        if kills is not None:
            yield _kills_text(kills, is_once=step.times == 1)
        if step.kind in own:
            yield own[step.kind]


def _kills_text(kills: Kills, *, is_once: bool) -> str:
    """Assumed to kill each time: 55 in 100 of those in sight; no eggs, none in the pot."""
    shares = {where: getattr(kills, where) for where in KILLED}
    joint = words.say("courses.about.joint")
    dead = [_say(f"of.{w}", share=in_100(share)) for w, share in shares.items() if share]
    spared = [w for w, share in shares.items() if not share]
    if set(ABOVE) <= set(spared):
        spared = [ABOVE[0], *(w for w in spared if w not in ABOVE)]
    told = filter(None, (joint.join(dead), joint.join(_say(f"none.{w}") for w in spared)))
    said = words.say("forms.and").join(told)
    return _say("kills-once" if is_once else "kills", kills=said)


def option_text(option: Option, as_it_goes: date | None, on: date) -> str:
    """When the plant may rejoin the others with a course, and as things go; empty without a day."""
    if option.expected_on is None:
        return ""
    day = day_month(option.expected_on, on)
    if as_it_goes is None:
        return _say("day-alone", day=day)
    return _say("day", day=day, without=day_month(as_it_goes, on))


def schedule_text(running: CourseRunning, on: date) -> str:
    """What was done of a course and what is due when: done 4 May; due 11 May, 18 May, 25 May."""
    done = [step.done_on for step in running.course.done if step.done_on is not None]
    told = [_say("due", days=_days_text([step.due_on for step in running.to_come], on))]
    if done:
        told.insert(0, _say("done", days=_days_text(sorted(done), on)))
    return words.say("forms.and").join(told)


def _days_text(days: Sequence[date], on: date) -> str:
    said = [day_month(day, on) for day in days]
    if len(said) > MOST_DATES:
        return _say("and-so-on", first=said[0], second=said[1], last=said[-1])
    return words.say("courses.about.joint").join(said)


def _say(code: str, **values: object) -> str:
    return words.say(f"courses.about.{code}", **values)
