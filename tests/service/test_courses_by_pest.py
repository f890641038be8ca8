"""What in courses of treatment follows the pest: which are usual, how often, what a spray meets."""

from collections.abc import Callable
from datetime import date, timedelta

import pytest

from rounds.core.biology.process import make_process
from rounds.core.collection import Plant
from rounds.core.log.courses import NO_LABEL
from rounds.errors import BadInput
from rounds.service.collection.plants import PlaceDetails, put_place
from rounds.service.courses.about import about_texts
from rounds.service.courses.advice import options_in_steps, read_options
from rounds.service.courses.fitting import egg_days, pests_of, unusual_text, usual_first
from rounds.service.courses.schedule import planned_steps
from rounds.service.courses.standing import kills_of
from rounds.service.courses.templates import find_template, templates
from rounds.service.courses.told import course_told, courses_told
from rounds.service.courses.written import Asked, treat
from rounds.service.entries.looks import LookWritten
from rounds.service.inference.day import record_of
from rounds.service.inference.steps import finished
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon
from rounds.service.logbook.parameters import load_parameters
from rounds.service.plant.record import PlantRecord

Add = Callable[..., Plant]
Looks = Callable[..., LookWritten]
CAME = date(2026, 3, 1)
TABLE = load_parameters()


@pytest.fixture
def followed(logbook: Logbook, add: Add, look: Looks) -> Callable[..., PlantRecord]:
    """A plant on a warm shelf, with some of its pests found on it the day before."""

    def of(*pests: str, celsius: float = 22.0) -> PlantRecord:
        details = PlaceDetails(apart=True, usual_c=celsius)
        put_place(logbook, local_noon(CAME), "warm shelf", details)
        plant = add("G02", on=CAME, place="warm shelf", arrived=CAME, pests=pests)
        for pest in pests:
            look("G02", CAME, "undersides", seconds=60, counts={"removed": 2}, pest=pest)
        return record_of(logbook, plant, CAME + timedelta(days=1))

    return of


@pytest.mark.parametrize("pest", list(TABLE.pests))
def test_each_pest_names_courses_there_are_and_stages_it_has(logbook: Logbook, pest: str) -> None:
    biology = TABLE.pests[pest]
    assert biology.courses
    assert set(biology.courses) <= set(templates(logbook))
    assert set(biology.spared) < {stage.code for stage in biology.stages}


def test_the_roots_are_cleaned_out_only_for_pests_that_live_on_them(logbook: Logbook) -> None:
    course = find_template(logbook, "root-clean-out")
    for pest in ("spider-mite", "thrips", "whitefly", "soft-scale"):
        assert unusual_text(course, (pest,), TABLE).startswith("Not usual against ")
    for pest in ("mealybug", "citrus-mealybug", "root-mealybug"):
        assert unusual_text(course, (pest,), TABLE) == ""


def test_what_fits_a_pest_is_offered_first_and_the_rest_with_that_word(
    followed: Callable[..., PlantRecord],
) -> None:
    record = followed("spider-mite")
    known = templates(record.logbook).values()
    ordered = [t.code for t in usual_first(known, record.pests, record.table)]
    assert ordered == [
        "contact-spray", "labelled-product", "rinsing",
        "lifting", "out-of-medium", "root-clean-out",
    ]  # fmt: skip
    about = " ".join(about_texts(record, find_template(record.logbook, "root-clean-out")))
    assert about.startswith("Not usual against spider mite.")
    options = read_options(record, finished(options_in_steps(record)))
    assert [option.code for option in options] == [
        "rinsing", "contact-spray", "lifting", "root-clean-out", "part",
    ]  # fmt: skip
    assert options[2].text == "go on removing by hand (not usual against spider mite)"


def test_two_pests_each_make_courses_usual_and_the_other_is_named(
    followed: Callable[..., PlantRecord],
) -> None:
    record = followed("root-mealybug", "spider-mite")
    book, table = record.logbook, record.table
    said = {code: unusual_text(t, record.pests, table) for code, t in templates(book).items()}
    assert said["rinsing"] == "Not usual against root mealybug."
    assert said["root-clean-out"] == "Not usual against spider mite."
    assert said["labelled-product"] == ""
    assert said["lifting"] == "Not usual against root mealybug, spider mite."


@pytest.mark.parametrize(
    ("pest", "celsius", "apart", "times"),
    [
        # eggs of 48 degree-days above 10: 4 days at 22, 6 at 18
        ("spider-mite", 22, 4, 4),
        ("spider-mite", 18, 6, 4),
        # 123 above 8.3: 9 days at 22, 18.4 at 15
        ("whitefly", 22, 7, 4),
        ("whitefly", 15, 7, 5),
        # 85 above 8: a wool of eggs hatches over days, sprayed weekly as the sources say
        ("mealybug", 22, 7, 4),
    ],
)
def test_how_far_apart_and_how_often_go_by_the_eggs_of_the_pest(
    followed: Callable[..., PlantRecord], pest: str, celsius: float, apart: int, times: int
) -> None:
    record = followed(pest, celsius=celsius)
    spray = find_template(record.logbook, "contact-spray")
    eggs = egg_days(record.logbook, record.plant, record.pests, record.on, spray)
    steps = planned_steps(spray, NO_LABEL, record.on, eggs, 12)
    assert (steps[1].after_days, len(steps)) == (apart, times)


def test_a_spray_leaves_alone_the_stages_that_it_does_not_reach(
    followed: Callable[..., PlantRecord],
) -> None:
    zones = followed("soft-scale").body.zones

    def killed(pest: str) -> set[str]:
        kills = kills_of("spray", NO_LABEL, TABLE, pest)
        assert kills is not None
        process = make_process(zones, TABLE, pest)
        dead = process.killed(kills)
        codes = [stage.code for stage in process.stages]
        return {code for code in codes if (dead * process.of_stages((code,))).max() > 0}

    assert killed("soft-scale") == {"L1"}
    assert killed("thrips") == {"L1", "L2", "P", "A"}
    assert killed("spider-mite") == {"L1", "L2", "L3", "P", "A"}
    # what a grower types in of a product is of all of them
    product = kills_of("product", NO_LABEL, TABLE, "soft-scale")
    assert product is not None
    assert product.spared == ()


def test_a_course_that_is_not_usual_can_be_begun_and_is_warned_of(
    followed: Callable[..., PlantRecord],
) -> None:
    record = followed("spider-mite")
    treat(record.logbook, local_noon(record.on), ["G02"], Asked("root-clean-out"))
    (told,) = courses_told(record_of(record.logbook, record.plant, record.on))
    assert ("unusual", "Not usual against spider mite.") in [
        (each.code, each.text) for each in told.warnings
    ]


def test_a_pest_that_was_found_and_never_said_counts_when_a_course_is_begun(
    followed: Callable[..., PlantRecord], look: Looks
) -> None:
    record = followed("mealybug")
    look("G02", record.on, "undersides", seconds=60, counts={"left": 20}, pest="spider-mite")
    book = record.logbook
    plant = book.collection().plant("G02")
    assert plant is not None
    assert pests_of(book, plant, record.on) == ("mealybug", "spider-mite")
    assert record_of(book, plant, record.on).pests == ("mealybug", "spider-mite")
    treat(book, local_noon(record.on), ["G02"], Asked("contact-spray"))
    now = record_of(book, plant, record.on)
    course = course_told(now, now.courses[0].course)
    assert (course.steps[1].due_on - course.steps[0].due_on).days == 4


def test_a_growers_own_file_names_its_pests(
    followed: Callable[..., PlantRecord],
) -> None:
    record = followed("spider-mite")
    folder = record.logbook.file.path.parent / "courses"
    folder.mkdir()
    step = "[[steps]]\nkind = 'spray'\n"
    (folder / "mist.toml").write_text(f"pests = ['whitefly']\n{step}", encoding="utf-8")
    (folder / "brush.toml").write_text(step, encoding="utf-8")
    (folder / "amiss.toml").write_text(f"pests = ['lamp-moth']\n{step}", encoding="utf-8")
    mist, brush = (find_template(record.logbook, code) for code in ("mist", "brush"))
    assert unusual_text(mist, record.pests, record.table) == "Not usual against spider mite."
    assert unusual_text(mist, ("whitefly",), record.table) == ""
    # one that names none is held to be for all
    assert unusual_text(brush, record.pests, record.table) == ""
    with pytest.raises(BadInput, match="'lamp-moth' is not a pest"):
        find_template(record.logbook, "amiss")
