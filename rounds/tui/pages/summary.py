"""How a round came out."""

from rounds import words
from rounds.service.round.view import RoundView, Summary, SummaryLine
from rounds.tui.page import Page, Role
from rounds.tui.pages.parts import say
from rounds.tui.pages.round import clock
from rounds.tui.pages.told import BLANK, Paragraph, Row, Told
from rounds.words.forms import calendar_day

MARKS: dict[str, tuple[str, Role]] = {"found": ("*", "find"), "doubt": ("?", "doubt")}


def summary_told(view: RoundView, *, is_wide: bool) -> Told:
    """How many plants were fully checked, and what was found on them."""
    plants = say("round.only-plant" if view.plants == 1 else "round.all-plants", plants=view.plants)
    return Told(
        title=say("round.title", day=calendar_day(view.day, view.day)),
        middle=plants,
        narrow_title=plants,
        clock=clock(view),
        above=[Paragraph(_first_sentence(view.summary))] if view.summary else (),
        message=view.message,
    )


def _first_sentence(summary: Summary) -> str:
    """How many plants were fully checked, what was found on them, and where that rises."""
    said = [_checked(summary)]
    if summary.found:
        on = _plants(summary.plants_found)
        said.append(say("summary.found", count=summary.found, plants=on))
    else:
        said.append(say("summary.found-none"))
    if summary.rising:
        said.append(summary.rising)
    if summary.unsure:
        said.append(words.say("round.summary.doubt", count=summary.unsure))
    return words.say("forms.and").join(said)


def _checked(summary: Summary) -> str:
    checked, looked_at = summary.plants_checked, summary.plants_looked_at
    if not checked:
        return say("summary.checked-none")
    if checked < looked_at:
        return say("summary.checked-some", checked=checked, plants=_plants(looked_at))
    return say("summary.checked-all", plants=_plants(checked))


def _plants(count: int) -> str:
    return say("summary.one-plant") if count == 1 else say("summary.plants", count=count)


def summary_rows(view: RoundView, frame: Page) -> list[Row]:
    """The plants on which something was counted, then what was not seen."""
    summary = view.summary
    if summary is None:
        return []
    return [*_changed(summary, frame), *_not_seen(summary)]


def _changed(summary: Summary, frame: Page) -> list[Row]:
    if not summary.changed:
        return [Row(((say("summary.nothing-changed"), "quiet"),)), BLANK]
    heads: list[tuple[str, Role]] = [(say("summary.changed"), "quiet")]
    if frame.is_wide:
        heads += [("", "quiet"), (say("summary.column-then"), "quiet")]
    lines = (row for line in summary.changed for row in _of_plant(line, frame))
    return [Row(tuple(heads)), *lines, BLANK]


def _of_plant(line: SummaryLine, frame: Page) -> list[Row]:
    """What was counted on a plant, and what follows from it: beside that, or below."""
    mark = MARKS.get(line.mark, ("", "ink"))
    counted = (line.text, mark[1])
    then = line.then or line.streak_text
    name = f"{line.code}  {line.name}"
    if frame.is_wide:
        return [Row((name, counted, then), mark)]
    return [Row((name, counted), mark), *([Row(("", then))] if then else [])]


def _not_seen(summary: Summary) -> list[Row]:
    """How many plants and zones were left out, and which."""
    groups = (
        ("put-off", "plants", summary.put_off, len(summary.put_off)),
        ("not-looked-at", "plants", summary.not_looked_at, len(summary.not_looked_at)),
        ("in-one-go", "plants", summary.in_one_go, len(summary.in_one_go)),
        ("short", "zones", summary.short, summary.short_zones),
        ("hidden", "zones", summary.hidden, summary.hidden_zones),
    )
    rows = []
    for title, what, entries, number in groups:
        if entries:
            many = what if number > 1 else f"one-{what[:-1]}"
            count = say(f"summary.{many}", count=number)
            which = say("summary.which", count=count, names=", ".join(entries))
            rows.append(Row(((say(f"summary.{title}"), "quiet"), which)))
    return rows
