"""The stop after a plant that is infested or in quarantine."""

from rounds.service.round.view import OF_DELIVERY, RoundView
from rounds.tui.forms.fields import Header
from rounds.tui.page import Page
from rounds.tui.pages.parts import ROOMY, say
from rounds.tui.pages.round import clock
from rounds.tui.pages.told import BLANK, Paragraph, Row, Told
from rounds.words.forms import calendar_day

STEPS = ("swab", "hands", "tools", "alcohol")
ROOMY_NARROW = 24
"""rows from which a narrow page has room for all that is said of the steps"""


def hygiene_told(view: RoundView, *, is_wide: bool) -> Told:
    """After which plant hands, swab and tools are cleaned, and why."""
    plant, header, number = view.plant, None, ""
    if plant is not None:
        number = say("round.after-plant-of", number=plant.number, plants=view.plants)
        done = say("hygiene.just-done") if is_wide else ""
        header = Header(plant.code, plant.name, done, plant.standing, plant.standing_text)
    return Told(
        title=say("round.title", day=calendar_day(view.day, view.day)),
        middle=number,
        narrow_title=number,
        clock=clock(view),
        plant=header,
        above=[
            Paragraph(_why(view)),
            Paragraph(say("hygiene.set-apart") if view.loose else "", may_go=True),
        ],
        message=view.message,
    )


def _why(view: RoundView) -> str:
    plant = view.plant
    code = plant.code if plant else ""
    if plant is not None and plant.live_today:
        return say("hygiene.why", next=view.next_plant, found=plant.live_today, code=code)
    if plant is not None and plant.standing == "quarantine":
        return say("hygiene.why-apart", next=view.next_plant, code=code)
    if plant is not None and plant.standing == OF_DELIVERY:
        return say("hygiene.why-delivery", next=view.next_plant)
    return say("hygiene.why-lately", next=view.next_plant, code=code)


def hygiene_rows(view: RoundView, frame: Page) -> list[Row]:
    """The steps, with the cautions where the step is; in few words where rows are few."""
    if frame.height < (ROOMY if frame.is_wide else ROOMY_NARROW):
        return [_step(title, say(f"hygiene-brief.{title}")) for title in STEPS]
    source = Row(("", (say("hygiene.source"), "quiet")))
    if not frame.is_wide:
        return [*(_step(title, say(f"hygiene-narrow.{title}")) for title in STEPS), source]
    rows: list[Row] = []
    for title in STEPS:
        rows += [_step(title, say(f"hygiene.{title}-text")), BLANK]
    return [*rows[:-1], Row(("", say("hygiene.alcohol-more"))), source]


def _step(title: str, text: str) -> Row:
    return Row(((say(f"hygiene.{title}"), "strong"), text))
