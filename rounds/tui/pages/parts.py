"""What several pages have in common."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rich.cells import cell_len

from rounds import words
from rounds.service.plant.status_text import standing_text, where_text
from rounds.tui.keys import key_of
from rounds.tui.page import FIRST, MIDDLE, THIRD, KeyHint, Page, Role, wrap

if TYPE_CHECKING:
    from rounds.service.courses.cautions import Mind
    from rounds.service.plant.reasons import Reason
    from rounds.service.plant.status import PlantStatus
    from rounds.service.round.view import Question

SLOT = MIDDLE - 1 - FIRST
"""Columns of a figure of three beside each other."""
KEY_ROWS = 4
MESSAGE_ROWS = 2
MOST_ASKED = 4
"""Most rows of a question on a page with rows to spare."""
ROOMY = 20
"""Least rows of a page with empty rows between its parts."""
TALL = 24
ADVICE_FROM = 22
"""Least rows of a narrow page with advice above what is said."""

STANDING_MARK = {"quarantine": "║ ", "watch": "○ "}
STANDING_ROLE: dict[str, Role] = {"quarantine": "apart", "watch": "apart"}


Keyed = list[tuple[str, str]]
"""Keys, each with what it says."""


def say(code: str, /, **values: object) -> str:
    """A sentence of the screens."""
    return words.say(f"screens.{code}", **values)


def hint(role: str, text: str | None = None) -> KeyHint:
    """A key and what it does, by role."""
    return KeyHint(key_of(role), say(f"keys.{text or role}"))


def heading(page: Page, where: str, middle: str, clock: str) -> None:
    """Row 1: where one is, and the clock."""
    if page.is_wide:
        page.put(0, FIRST, where, "quiet", until=MIDDLE)
        page.put(0, MIDDLE, middle, "quiet", until=THIRD)
        page.put(0, THIRD, clock, until=page.until)
    else:
        page.put(0, 1, middle or where, "quiet", until=page.width - 2 - cell_len(clock))
        page.put_right(0, page.width - 1, clock)


def plant_row(page: Page, code: str, name: str, where: str, standing: str, text: str) -> None:
    """Row 3: the plant, where it stands, and how."""
    mark = STANDING_MARK.get(standing, "")
    role = STANDING_ROLE.get(standing, "ink")
    if page.is_wide:
        page.put(2, FIRST, f"{code}  {name}", "strong", until=MIDDLE - 1)
        page.put(2, MIDDLE, where, until=THIRD - 1)
        page.put(2, THIRD, f"{mark}{text}", role)
    else:
        shown = f"{mark}{text}"
        page.put(2, 1, f"{code}  {name}", "strong", until=page.width - 2 - cell_len(shown))
        page.put_right(2, page.width - 1, shown, role)


def status_row(page: Page, status: "PlantStatus") -> None:
    """The same of a plant as it is at the end of the day."""
    where, text = where_text(status), standing_text(status)
    plant_row(page, status.code, status.name, where, status.standing, text)


def message_row(page: Page) -> int:
    """The row of what just happened."""
    return page.height - KEY_ROWS - MESSAGE_ROWS


def rows_said(page: Page) -> int:
    """How many rows what just happened may take where keys take two rows only."""
    return MESSAGE_ROWS + 1 if page.height >= ROOMY else MESSAGE_ROWS


def desk_row(page: Page) -> int:
    """The row of what just happened where keys take two rows only."""
    return message_row(page) if page.height >= ROOMY else page.height - 2 - MESSAGE_ROWS


def typing_keys(page: Page) -> None:
    """The keys while letters are text."""
    page.put_keys(page.height - 2, [KeyHint("ctrl+q", say("keys.leave"))])
    page.put_keys(page.height - 1, [hint("begin", "take-it" if page.is_wide else "take-it-narrow")])


def whole_within(reasons: Sequence["Reason"], width: int) -> str:
    """The reasons that can be said whole, the weightiest first, in few words where that helps."""
    said = ""
    for reason in reasons:
        for text in filter(None, (reason.text, reason.brief)):
            longer = say("plants.and").join([said, text]) if said else text
            if cell_len(longer) <= width:
                said = longer
                break
    return said or reasons[0].brief or reasons[0].text


def as_many_as_fit(parts: Sequence[str], joint: str, width: int, more: str = "more-brief") -> str:
    """All parts, or the first of them and how many more there are.

    `more`: by which words. 2 removed +3 are no three more insects; beside what is no number
    'more-in-words' is plainer: chance, warmth, 3 more.
    """
    for most in range(len(parts), 0, -1):
        shown = joint.join(parts[:most])
        if most < len(parts):
            shown = say(more, shown=shown, count=len(parts) - most)
        if most == 1 or cell_len(shown) <= width:
            return shown
    return ""


def minds_within(minds: Sequence["Mind"], width: int, rows: int) -> list[str]:
    """As many cautions as have room on some rows, in their order, each whole.

    They are in few words where more of them have room so.
    """
    told, lines = _first_within([mind.text for mind in minds], width, rows)
    told_briefly, brief_lines = _first_within([mind.brief for mind in minds], width, rows)
    return brief_lines if told_briefly > told else lines


def _first_within(texts: Sequence[str], width: int, rows: int) -> tuple[int, list[str]]:
    """How many of the texts have room on some rows, the first before the others; and their rows."""
    lines: list[str] = []
    for told, text in enumerate(texts):
        wrapped = wrap(text, width)
        if len(lines) + len(wrapped) > rows:
            return told, lines
        lines += wrapped
    return len(texts), lines


def question_top(page: Page, question: "Question | None") -> int:
    """The row on which a question that waits begins; without one, that of the message."""
    row = message_row(page)
    if question is None:
        return row
    return ask_top(page, row, question)


def say_or_ask(
    page: Page, message: str, question: "Question | None", free_from: int, *, must: bool = False
) -> None:
    """What just happened, or the question that waits with its answers, and above it what happened.

    `free_from` is the first row that nothing of the zone takes. What is put from there on stands
    already, as what is said goes around it. `must`: also on a page with few rows.
    """
    if question is None:
        _say(page, message)
        return
    top = ask_question(page, message_row(page), question)
    if message and (must or page.height >= TALL):
        # while a question waits counting goes on, and each press is still answered
        _say_above(page, message, top, free_from)


def _say_above(page: Page, message: str, top: int, free_from: int) -> None:
    """What just happened, above a question that begins at `top`, on the rows there are."""
    room = min(MESSAGE_ROWS, top - free_from)
    for rows in range(1, room + 1):
        first = top - rows
        taken = (cell.column for row in page.rows[first:top] for cell in row)
        until = min([page.until, *(column - 1 for column in taken)])
        if len(wrap(message, until - page.edge)) <= rows or rows == room:
            page.put_wrapped(first, page.edge, message, until=until, rows=rows)
            return


def _say(page: Page, message: str) -> None:
    """What just happened: on two rows, on a narrow page with room on four."""
    row = message_row(page)
    edge, until = page.edge, page.until
    has_room = page.height >= TALL or ROOMY <= page.height < ADVICE_FROM
    most = 4 if not page.is_wide and has_room else MESSAGE_ROWS
    rows = min(most, len(wrap(message, until - edge)))
    page.put_wrapped(row - max(0, rows - MESSAGE_ROWS), edge, message, until=until, rows=rows)


def ask_question(page: Page, row: int, question: "Question") -> int:
    """A question that waits and every key that answers it; the row they begin on."""
    return ask(page, row, question.text, _keyed(question))


def ask_top(page: Page, row: int, question: "Question") -> int:
    """The row on which a question that ends on the row after `row` begins."""
    rows, lines, _ = _question_rows(page, question.text, _keyed(question))
    return row + 2 - rows - len(lines)


def ask(page: Page, row: int, text: str, answers: Keyed) -> int:
    """A question and under it every key that answers it; they end on the row after `row`.

    Returns the row they begin on.
    """
    edge, until, _ = _sides(page)
    rows, lines, gap = _question_rows(page, text, answers)
    top = row + 2 - rows - len(lines)
    page.answering |= {key for key, _ in answers}
    page.put_wrapped(top, edge, text, "ask", until=until, rows=rows)
    for offset, line in enumerate(lines):
        _answers(page, top + rows + offset, _answers_at(page), line, gap=gap)
    return top


def _keyed(question: "Question") -> Keyed:
    return [(key_of(answer.role), answer.text) for answer in question.answers]


def _sides(page: Page) -> tuple[int, int, int]:
    return page.edge, page.until, 3 if page.is_wide else 2


def _answers_at(page: Page) -> int:
    """The column answers begin at."""
    edge, _, gap = _sides(page)
    return edge + gap - 1


def _question_rows(page: Page, text: str, answers: Keyed) -> tuple[int, list[Keyed], int]:
    """How many rows a question takes, its answers row by row, and the columns between them.

    They stand closer where that saves a row.
    """
    _, until, gap = _sides(page)
    width = until - _answers_at(page)
    by_gap = {apart: _answer_lines(answers, width, apart) for apart in (gap, 2)}
    best = min(by_gap, key=lambda apart: (len(by_gap[apart]), -apart))
    return asked_rows(page, text), by_gap[best], best


def asked_rows(page: Page, text: str) -> int:
    """How many rows the text of a question takes."""
    most = MOST_ASKED if page.height >= ROOMY else MOST_ASKED - 1
    return min(most, len(wrap(text, page.until - page.edge)))


def _answers(page: Page, row: int, column: int, answers: Keyed, gap: int) -> None:
    for key, text in answers:
        page.put_key(row, column, KeyHint(key, text))
        column += len(key) + 1 + len(text) + gap


def _answer_lines(answers: Keyed, width: int, gap: int) -> list[Keyed]:
    """Answers over as many rows as they need."""
    lines: list[Keyed] = [[]]
    used = 0
    for key, text in answers:
        length = len(key) + 1 + len(text)
        if used + length > width and lines[-1]:
            lines.append([])
            used = 0
        lines[-1].append((key, text))
        used += length + gap
    return lines


def first_shown(mark: int, count: int, room: int) -> int:
    """The first line of a window of `room` lines that holds the mark, moving page by page."""
    if count <= room:
        return 0
    return min(mark // room * room, count - room)
