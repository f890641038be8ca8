"""What to mind at a step of a course, and what its label warns of: told, never refused."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from rounds import words
from rounds.core.collection import Plant
from rounds.core.log.courses import PRODUCT, SPRAYING, WETTING, Label, PlantCourse
from rounds.service.courses.schedule import EggDays, days_between, steps_due, times_needed
from rounds.service.courses.templates import Template
from rounds.words.forms import codes_text, day_month, temperature

SWABBING = "lift"

BY_KIND = {
    "lift": ("fire", "swabs", "air", "gloves", "animals"),
    "spray": ("label", "gloves", "animals", "leaf", "heat", "bees", "outdoors"),
    "product": ("label", "gloves", "animals", "outdoors", "bees", "heat", "leaf"),
    "rinse": (),
    "root-clean-out": ("gloves", "peroxide", "bleach"),
    "peroxide": ("peroxide", "gloves", "animals"),
    "take-out": ("gloves", "bleach"),
    "wet-and-look": (),
    "pot-up": ("gloves", "bleach"),
}
"""The cautions of each kind of step, those first that matter most."""

OF_PLANT_OR_LABEL = ("wet-leaves", "alcohol", "gear", "reentry")
"""Those that were said of the plant or stand on a label: they go before what holds for all."""

HEAT_C = 32.0
"""Above it soap and oil burn leaves."""

USES_WITHIN = timedelta(days=365)
"""Uses of a product that count together for its label: a year."""


@dataclass(frozen=True, slots=True)
class Told:
    """Something to mind, by its code and in words."""

    code: str
    text: str


@dataclass(frozen=True, slots=True)
class Mind:
    """A caution as a page says it: in a sentence, or in hardly any room."""

    text: str
    brief: str


def cautions(plant: Plant, kind: str, label: Label, on: date) -> tuple[Told, ...]:
    """What to mind at a step of a kind, on this very plant; what matters most comes first."""
    values = _values(label)
    codes = _codes(plant, kind, label, on)
    return tuple(Told(code, words.say(f"courses.caution.{code}", **values)) for code in codes)


def minds(plant: Plant, kind: str, label: Label, on: date) -> tuple[Mind, ...]:
    """The same, each in both lengths."""
    values = _values(label)
    return tuple(
        Mind(*(words.say(f"courses.{part}.{code}", **values) for part in ("caution", "brief-mind")))
        for code in _codes(plant, kind, label, on)
    )


def wet_minds(codes: Sequence[str]) -> tuple[Mind, ...]:
    """That others which are wetted as well dislike it, by their codes; nothing without any."""
    if not codes:
        return ()
    said = (
        words.say(f"courses.others-wet.{of}", codes=codes_text(codes)) for of in ("text", "brief")
    )
    return (Mind(*said),)


def _values(label: Label) -> dict[str, str]:
    """What cautions name."""
    hours = f"{label.reentry_hours or 0:g}"
    return {"gear": label.gear or "", "hours": hours, "limit": temperature(HEAT_C)}


def _codes(plant: Plant, kind: str, label: Label, on: date) -> Iterator[str]:
    yield from _disliked(plant, kind, on)
    if kind == PRODUCT:
        if label.gear:
            yield "gear"
        if label.reentry_hours:
            yield "reentry"
    yield from BY_KIND.get(kind, ())


def _disliked(plant: Plant, kind: str, on: date) -> Iterator[str]:
    dislikes = (plant.fact("dislikes", on) or "").split()
    if "wet-leaves" in dislikes and kind in WETTING:
        yield "wet-leaves"
    if "alcohol" in dislikes and kind == SWABBING:
        yield "alcohol"


def warnings(
    plant: Plant,
    courses: Sequence[PlantCourse],
    course: PlantCourse,
    template: Template | None,
    eggs: EggDays,
    most: int,
    on: date,
) -> tuple[Told, ...]:
    """What is warned of once something was entered about a course on a day; nothing is refused.

    Args:
        plant: which.
        courses: all of its courses, as they stand at the end of the day.
        course: the one entered about.
        template: of that course; None where its file is gone.
        eggs: how long they take to hatch there.
        most: times of a step, however cold it is.
        on: the day.
    """
    found = [
        Told(code, words.say(f"courses.caution.{code}"))
        for kind in dict.fromkeys(step.planned.kind for step in course.steps)
        for code in _disliked(plant, kind, on)
    ]
    found += _of_label(courses, course, on)
    found += _of_eggs(course, template, eggs, most)
    return tuple(found)


def _of_label(courses: Sequence[PlantCourse], course: PlantCourse, on: date) -> Iterator[Told]:
    """A use too early, or one too many: of the one made on the day, else of the next one."""
    label = course.begun.label
    if not label.product:
        return
    done_today = [s for s in course.done if s.planned.kind == PRODUCT and s.done_on == on]
    use_on = on if done_today else _next_use(course, on)
    if use_on is None:
        return
    before = sorted(_uses(courses, label.product))
    if done_today:
        before.remove(on)
    yield from _label_warnings(label, before, use_on, on)


def use_warnings(courses: Sequence[PlantCourse], label: Label, on: date) -> tuple[Told, ...]:
    """What a label warns of, if its product is used on a day besides all uses up to then."""
    if not label.product:
        return ()
    return tuple(_label_warnings(label, sorted(_uses(courses, label.product)), on, on))


def use_minds(courses: Sequence[PlantCourse], label: Label, on: date) -> tuple[Mind, ...]:
    """The same, each in both lengths."""
    return tuple(
        Mind(told.text, words.say(f"courses.brief-warning.{told.code}"))
        for told in use_warnings(courses, label, on)
    )


def _label_warnings(label: Label, used: Sequence[date], use_on: date, on: date) -> Iterator[Told]:
    before = [day for day in used if day <= use_on]
    if before and label.interval_days is not None:
        free = before[-1] + timedelta(days=label.interval_days)
        if use_on < free:
            yield Told("too-early", words.say(
                "courses.warning.too-early", product=label.product,
                day=day_month(before[-1], on), **{"from": day_month(free, on)},
            ))  # fmt: skip
    count = sum(use_on - day < USES_WITHIN for day in before) + 1
    if label.most_uses is not None and count > label.most_uses:
        yield Told("too-many", words.say(
            "courses.warning.too-many", product=label.product, most=label.most_uses, count=count,
        ))  # fmt: skip


def _next_use(course: PlantCourse, on: date) -> date | None:
    due = [d for d in steps_due(course, on) if d.step.done_on is None] if course.is_running else []
    return next((max(on, d.due_on) for d in due if d.step.planned.kind == PRODUCT), None)


def _uses(courses: Sequence[PlantCourse], product: str) -> Iterator[date]:
    """The days on which a product was used on a plant."""
    for course in courses:
        if (course.begun.label.product or "").casefold() == product.casefold():
            for step in course.done:
                if step.planned.kind == PRODUCT and step.done_on is not None:
                    yield step.done_on


def _of_eggs(
    course: PlantCourse, template: Template | None, eggs: EggDays, most: int
) -> Iterator[Told]:
    """That it is too cold, or that a label allows fewer uses than eggs ask for."""
    if not course.is_running or not SPRAYING & {step.planned.kind for step in course.steps}:
        return
    if eggs.latest is None:
        yield Told("cold", words.say("courses.warning.cold"))
        return
    if template is None or course.begun.label.most_uses is None:
        return
    for step in template.steps:
        every = max(1, days_between(step, course.begun.label, eggs))
        needed = times_needed(step, eggs.latest, every, most)
        if step.kind == PRODUCT and needed > course.begun.label.most_uses:
            yield Told("few-uses", words.say(
                "courses.warning.few-uses", times=course.begun.label.most_uses, needed=needed,
            ))  # fmt: skip
