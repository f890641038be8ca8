"""The questions a round asks, and the keys that answer them."""

from collections import Counter
from collections.abc import Sequence, Set
from dataclasses import replace

from rounds import words
from rounds.core.log.effective import EffectiveSign, EffectiveTally
from rounds.service.courses.cautions import minds, use_minds, wet_minds
from rounds.service.courses.shelf import disliking, due_here_too
from rounds.service.courses.standing import CourseRunning, courses_of
from rounds.service.courses.text import due_text
from rounds.service.round.at_hand import PlantAtHand
from rounds.service.round.course import Course
from rounds.service.round.reasons import HIDDEN_BECAUSE, SIGNS
from rounds.service.round.view import Answer, Question
from rounds.words.forms import calendar_day, day_month
from rounds.words.pests import pest_name

BY_FIGURE = ("hidden", "signs", "which-zone", "put-off", "put-off-why", "other-zone")
"""Questions that figures answer."""

Seen = EffectiveTally | EffectiveSign
"""What is entered of a look."""


def ask_at_hand(course: Course, plant: PlantAtHand, put_off: Set[str]) -> Question | None:
    """What must be said of the open zone; of a plant looked at in one go, of any of its zones."""
    if seen := seen_on_whole(course, plant):
        return ask_which_zone(seen, course.zones_at_hand())
    asked = (_ask_about_zone(plant, zone, put_off) for zone in course.zones_at_hand())
    return next((question for question in asked if question is not None), None)


def seen_on_whole(course: Course, plant: PlantAtHand) -> list[Seen]:
    """What was entered of a plant looked at in one go: until it is said at which zone.

    It is in the log, at the zone that stands for the whole meanwhile.
    """
    if course.opened is None or not course.is_whole:
        return []
    look_id = course.opened.id
    return sorted([*plant.tallies_of(look_id), *plant.signs_of(look_id)], key=lambda one: one.id)


def put_off_code(question: Question) -> str:
    """Under which a question is put off while the round stands at its zone."""
    return f"{question.code}-{question.about}"


def _ask_about_zone(plant: PlantAtHand, zone: str, put_off: Set[str]) -> Question | None:
    """What is still open at a zone from an earlier day: a doubt first, then what was left there."""
    zone_name = words.say(f"zones.{zone}.name")
    doubt = plant.open_doubt_at(zone)
    if doubt is not None and f"doubt-{doubt.tally_id}" not in put_off:
        return question_of(
            "doubt",
            ("yes", "remains", "no", "doubtful", "not-now"),
            about=doubt.tally_id,
            day=calendar_day(doubt.day, plant.day),
            zone=zone_name,
        )
    left = plant.left_there_at(zone)
    if left is not None and f"left-there-{left.count}" not in put_off:
        return question_of(
            "left-there",
            ("yes", "removed", "killed", "left", "not-now"),
            about=left.count,
            count=_left_text(plant, zone, left.count),
            day=calendar_day(left.day, plant.day),
            zone=zone_name,
        )
    return None


def _left_text(plant: PlantAtHand, zone: str, count: int) -> str:
    """What was left at a zone: 3; of another pest than the plant's first with its name."""
    pest = plant.left_pest_at(zone)
    of = str(count)
    if plant.record.table.pests[pest].counted_from:
        of = words.say("round.at-least", count=count)
    if pest == plant.first_pest:
        return of
    return words.say("pests.some", count=of, pest=pest_name(pest))


def ask_about_live_find(plant: PlantAtHand, apart_later: Set[int]) -> Question | None:
    """Whether the plant at hand is put apart, until that is answered for this round."""
    if plant.plant.id in apart_later or not is_loose(plant):
        return None
    roles = ("put-apart", "cannot-move", "not-now")
    return question_of("live-find", roles, code=plant.plant.code)


def is_loose(plant: PlantAtHand) -> bool:
    """Whether insects were found on it today while it stands among the others."""
    return bool(plant.live_today()) and plant.record.standing in ("collection", "watch")


def ask_about_step(plant: PlantAtHand, later: Set[int]) -> Question | None:
    """Whether the step of a course that is due was done, until that is answered for this round.

    What to mind at it stands with it.
    """
    for running in plant.record.courses:
        if running.due_on <= plant.day and running.course.begun.id not in later:
            return _asked_about_step(plant, running)
    return None


def _asked_about_step(plant: PlantAtHand, running: CourseRunning) -> Question:
    """With what to mind at it, and where it is due at others here too, for all of them."""
    day, label = plant.day, running.course.begun.label
    others = due_here_too(plant.record.logbook, plant.plant, running.course, day)
    asked = question_of(
        "step", ("yes", "rest", "not-now") if others else ("yes", "not-now"),
        about=running.course.begun.id,
        step=due_text(running), day=day_month(running.due_on, day), count=len(others) + 1,
    )  # fmt: skip
    if len(others) == 1:
        both = Answer("rest", words.say("round.ask.step.both"))
        answers = tuple(both if answer.role == "rest" else answer for answer in asked.answers)
        asked = replace(asked, answers=answers)
    warned = use_minds(courses_of(plant.record), label, day) if running.is_product else ()
    wets, told = wet_minds(disliking(others, day)), minds(plant.plant, running.kind, label, day)
    return replace(asked, minds=(*warned, *wets, *told))


def ask_to_take_over(walked: str) -> Question:
    """Whether a round is taken over from the window that walks it; `walked` says who does."""
    return question_of("take-over", ("yes", "no"), walked=walked)


def ask_why_hidden() -> Question:
    """Why a zone cannot be seen."""
    figures = tuple(str(number) for number, _ in enumerate(HIDDEN_BECAUSE, 1))
    return question_of("hidden", (*figures, "next", "not-now"))


def ask_which_sign() -> Question:
    """What was seen of insects, without one."""
    return question_of("signs", ("1", "2", "3", "not-now"))


def ask_which_zone(seen: Sequence[Seen], zones: Sequence[str]) -> Question:
    """At which zone of a whole plant something was seen; the tenth lies on 0.

    Nothing puts it off: what was seen is placed, or taken back.
    """
    figures = tuple(
        Answer(str(number % 10), words.say(f"zones.{zone}.name"))
        for number, zone in enumerate(zones, 1)
    )
    return replace(question_of("which-zone", (), seen=seen_text(seen)), answers=figures)


def seen_text(seen: Sequence[Seen]) -> str:
    """An entry in words: 2 off; 1 killed (adult); ants."""
    counts: Counter[tuple[str, str | None, str]] = Counter()
    for one in seen:
        if isinstance(one, EffectiveTally):
            counts[one.kind, one.stage, one.pest] += one.count
        else:
            counts[one.kind, None, ""] += 1
    # one pest alone needs no name
    are_named = len({pest for _, _, pest in counts if pest}) > 1
    parts = []
    for (kind, stage, pest), count in counts.items():
        text = _kind_text(kind, stage, count)
        if pest and are_named:
            text = words.say("round.of-pest", what=text, pest=pest_name(pest))
        parts.append(text)
    return words.say("forms.and").join(parts)


def _kind_text(kind: str, stage: str | None, count: int) -> str:
    if kind in SIGNS:
        return words.say(f"bench.signs.{kind}")
    said = words.say("plant.entry.counted", count=count, kind=words.say(f"round.kinds.{kind}"))
    if stage is None:
        return said
    return words.say("bench.seen-stage", seen=said, stage=words.say(f"round.stages.{stage}"))


def ask_for_second_look(zone: str, look_id: int) -> Question:
    """Whether a zone just looked at is looked at once more."""
    zone_name = words.say(f"zones.{zone}.name")
    return question_of("second-look", ("yes", "not-now"), about=look_id, zone=zone_name)


def ask_about_burst(count: int, kind: str, seconds: float) -> Question:
    """Whether a burst from a held key is taken back as one."""
    return question_of(
        "burst",
        ("yes", "no"),
        about=count,
        count=count,
        kind=words.say(f"round.kinds.{kind}"),
        seconds=f"{seconds:.1f}",
    )


def hidden_reason(figure: int) -> str | None:
    """The reason of a number, if it has one."""
    return HIDDEN_BECAUSE[figure - 1] if 1 <= figure <= len(HIDDEN_BECAUSE) else None


def sign_of(figure: int) -> str | None:
    """The sign of a number, if it has one."""
    return SIGNS[figure - 1] if 1 <= figure <= len(SIGNS) else None


def question_of(code: str, /, roles: tuple[str, ...], about: int = 0, **values: object) -> Question:
    """The question of a code, its sentence filled, with an answer for each role."""
    return Question(
        code,
        words.say(f"round.ask.{code}.text", **values),
        tuple(
            Answer(role, words.say(f"round.ask.{code}.answers.{role}", **values)) for role in roles
        ),
        about,
    )
