"""agenda: what is due day by day, and as a calendar that is read again without doubles."""

import time
from collections.abc import Callable, Iterator
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from icalendar import Calendar

from rounds.service.plan.calendar_file import MADE_BY
from tests.cli.conftest import Call

Ask = Callable[..., Any]

TODAY = "2026-05-04"


@pytest.fixture
def where_clocks_change(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """A place where the night of 25 October 2026 has 25 hours, and that of 29 March 23."""
    monkeypatch.setenv("TZ", "Europe/Berlin")
    time.tzset()
    yield
    monkeypatch.undo()
    time.tzset()


@pytest.fixture
def stair_foot(ask: Ask) -> None:
    """One plant in quarantine with a find and a speck, one on watch, one in the collection."""
    ask("place", "porch shelf", "--usual-c", 22, "--on", "2026-01-01")
    ask("place", "stair foot", "--apart", "--usual-c", 22, "--on", "2026-01-01")
    ask("add", "S03", "--name", "Pintle", "--place", "porch shelf", "--spot", 2, "--already-here",
        "--on", "2026-01-01")  # fmt: skip
    ask("add", "G02", "--name", "Thole", "--place", "porch shelf", "--already-here",
        "--on", "2026-01-01")  # fmt: skip
    ask("add", "G11", "--name", "Cleat", "--place", "stair foot", "--on", "2026-04-01")
    ask("release", "G11", "--early", "invented", "--on", "2026-04-10")
    ask("look", "S03", "axils", "--seconds", 60, "--removed", 2, "--stage", "adult",
        "--on", "2026-05-01")  # fmt: skip
    ask("move", "S03", "stair foot", "--on", "2026-05-01")
    ask("look", "S03", "medium", "--seconds", 20, "--doubtful", 1, "--on", "2026-05-02")


def rows(told: Any, kind: str) -> list[Any]:
    return [row for row in told["due"] if row["kind"] == kind]


@pytest.mark.usefixtures("stair_foot")
def test_what_waits_is_told_for_today_and_the_rest_for_its_day(ask: Ask, call: Call) -> None:
    told = ask("agenda", "--days", 60)
    days = [row["on"] for row in told["due"]]
    assert days == sorted(days)
    assert (days[0], told["days"], told["ics"]) == (TODAY, 60, None)
    (doubt,) = rows(told, "doubt")
    assert (doubt["on"], doubt["since"], doubt["waiting_days"]) == (TODAY, "2026-05-02", 2)
    assert doubt["text"] == "1 unsure speck, due since 2 May (2 days)"
    status = ask("plant", "S03")["plant"]
    (release,) = rows(told, "release")
    assert (release["on"], release["plant"]) == (status["release"]["expected_on"], "S03")
    (roots,) = rows(told, "roots")
    assert roots["on"] == "2026-05-22"
    assert {row["plant"] for row in rows(told, "look")} == {"S03", "G02", "G11"}
    assert [row["plant"] for row in rows(told, "watch")] == ["G11"]
    # 34 degree-days at 14 a day; no last day beside a find that lays on
    assert [row["on"] for row in rows(told, "hatch")] == [TODAY]
    (clean,) = rows(told, "clean-spot")
    assert clean["text"] == "clean porch shelf, 2, due since 1 May (3 days)"
    ask("cleaned", "porch shelf", "--spot", 2)
    after = ask("agenda", "--days", 60)
    assert rows(after, "clean-spot") == []
    (free,) = rows(after, "spot-free")
    assert (free["on"], free["plant"]) == ("2026-05-25", "S03")
    said = call("agenda").out
    assert said.startswith("today\n")
    assert "due since 2 May" in said


@pytest.mark.usefixtures("stair_foot")
def test_every_step_of_a_course_is_told_and_moves_on_when_a_day_is_missed(ask: Ask) -> None:
    ask("treat", "S03", "contact-spray", "--done", "--on", "2026-05-02")
    steps = rows(ask("agenda", "--days", 60), "step")
    assert [row["on"] for row in steps] == ["2026-05-09", "2026-05-16", "2026-05-23"]
    assert steps[0]["text"] == "spray, 2 of 4"
    assert len({row["uid"] for row in steps}) == 3
    late = rows(ask("agenda", "--days", 60, "--on", "2026-05-12"), "step")
    assert [row["uid"] for row in late] == [row["uid"] for row in steps]
    assert (late[0]["on"], late[0]["since"], late[0]["waiting_days"]) == (
        "2026-05-12", "2026-05-09", 3
    )  # fmt: skip
    # what is not done by the end of that day is done the day after at the earliest
    assert [row["on"] for row in late[1:]] == ["2026-05-20", "2026-05-27"]


@pytest.mark.usefixtures("stair_foot")
def test_fewer_days_tell_the_beginning_of_the_same_list(ask: Ask) -> None:
    whole, days = ask("agenda", "--days", 60)["due"], ask("agenda")
    assert days["days"] == 14
    assert days["due"] == [row for row in whole if row["on"] <= "2026-05-18"]
    assert ask("agenda", "--days", 0)["due"] == [row for row in whole if row["on"] == TODAY]


@pytest.mark.usefixtures("stair_foot")
def test_the_file_is_read_back_and_a_second_one_adds_nothing(ask: Ask, tmp_path: Path) -> None:
    file = tmp_path / "agenda.ics"
    told = ask("agenda", "--ics", file)
    assert told["ics"] == str(file)
    first = events(file)
    assert [(e["uid"], e["on"]) for e in first] == [(r["uid"], r["on"]) for r in told["due"]]
    assert len({event["uid"] for event in first}) == len(first) > 5
    by_uid = {row["uid"]: row for row in told["due"]}
    assert all(by_uid[event["uid"]]["text"] in event["summary"] for event in first)
    ask("agenda", "--ics", file)
    assert {event["uid"]: event for event in events(file)} == {e["uid"]: e for e in first}
    # a day later the same things keep their names, and the later edition is told by its number
    ask("look", "G02", "--whole-plant", "--seconds", 300, "--on", "2026-05-05")
    ask("agenda", "--ics", file, "--on", "2026-05-05")
    later = events(file)
    assert min(e["sequence"] for e in later) > max(e["sequence"] for e in first)
    calendar = merged(first, later)
    assert len(calendar) == len({(e["uid"]) for e in [*first, *later]})
    moved = [uid for uid, event in calendar.items() if event["on"] != by_uid.get(uid, event)["on"]]
    kinds = {by_uid[uid]["kind"] for uid in moved if uid in by_uid}
    assert {"look", "doubt"} <= kinds


def events(file: Path) -> list[dict[str, Any]]:
    """What a calendar reads of each event."""
    calendar = Calendar.from_ical(file.read_bytes())
    assert isinstance(calendar, Calendar)
    assert (str(calendar["version"]), str(calendar["prodid"])) == ("2.0", MADE_BY)
    found = []
    for event in calendar.walk("VEVENT"):
        start, end = event.decoded("dtstart"), event.decoded("dtend")
        # a day, not an instant: no zone moves it, and it ends with the day
        assert type(start) is date
        assert type(end) is date
        assert end == start + timedelta(1)
        stamp = event.decoded("dtstamp")
        assert isinstance(stamp, datetime)
        assert stamp.utcoffset() == timedelta(0)
        found.append(
            {
                "uid": str(event["uid"]),
                "on": start.isoformat(),
                "sequence": int(str(event["sequence"])),
                "summary": str(event["summary"]),
            }
        )
    return found


def merged(*files: list[dict[str, Any]]) -> dict[str, dict[str, Any]]:
    """A calendar that reads files in turn: of one UID the greatest SEQUENCE holds (RFC 5546)."""
    held: dict[str, dict[str, Any]] = {}
    for event in (event for file in files for event in file):
        before = held.get(event["uid"])
        if before is None or event["sequence"] >= before["sequence"]:
            held[event["uid"]] = event
    return held


@pytest.mark.usefixtures("where_clocks_change")
@pytest.mark.parametrize(
    ("began", "changed", "twice"), [("2026-10-20", "2026-10-25", "2026-10-25T02:30+02:00"),
                                    ("2026-03-24", "2026-03-29", "2026-03-29T01:30+01:00")],
)  # fmt: skip
def test_every_day_is_right_across_a_change_of_the_clocks(
    ask: Ask, tmp_path: Path, began: str, changed: str, twice: str
) -> None:
    ask("place", "stair foot", "--apart", "--usual-c", 20, "--on", began)
    ask("add", "S03", "--name", "Pintle", "--place", "stair foot", "--on", began)
    ask("look", "S03", "axils", "--seconds", 60, "--removed", 1, "--stage", "adult",
        "--at", f"{began}T23:50")  # fmt: skip
    ask("look", "S03", "axils", "--seconds", 60, "--doubtful", 1, "--at", twice)
    file = tmp_path / "agenda.ics"
    for after in range(8):
        on = date.fromisoformat(began) + timedelta(after)
        told = ask("agenda", "--on", on.isoformat(), "--days", 40, "--ics", file)
        (roots,) = rows(told, "roots")
        assert date.fromisoformat(roots["on"]) == date.fromisoformat(began) + timedelta(21)
        (apart,) = rows(told, "days_apart")
        assert date.fromisoformat(apart["on"]) == date.fromisoformat(began) + timedelta(30)
        assert [row["on"] for row in told["due"]] == [event["on"] for event in events(file)]
        doubts = rows(told, "doubt")
        waited = (on - date.fromisoformat(changed)).days
        assert [row["waiting_days"] for row in doubts] == ([waited] if waited >= 0 else [])


@pytest.mark.usefixtures("stair_foot")
def test_no_file_of_somebody_else_is_written_over(ask: Ask, refused: Ask, tmp_path: Path) -> None:
    other = tmp_path / "mine.ics"
    other.write_text("BEGIN:VCALENDAR\r\nPRODID:-//mine//\r\nEND:VCALENDAR\r\n")
    error = refused(2, "agenda", "--ics", other)
    assert (error["code"], error["places"][0]["argument"]) == ("file-is-no-agenda", "--ics")
    assert "mine" in other.read_text()
    assert refused(2, "agenda", "--ics", tmp_path / "no" / "a.ics")["code"] == "file-not-written"
    assert refused(2, "agenda", "--days", -1)["code"] == "agenda-days"


def test_an_empty_logbook_has_nothing_due(ask: Ask, call: Call) -> None:
    assert ask("agenda")["due"] == []
    assert "Nothing is due" in call("agenda").out


@pytest.mark.usefixtures("where_clocks_change")
@pytest.mark.parametrize("began", ["2026-03-20", "2026-10-16"])
def test_steps_that_move_or_are_ticked_off_keep_their_names_and_none_stands_twice(
    ask: Ask, tmp_path: Path, began: str
) -> None:
    """The third of four is a week late, across a change of the clocks; the fourth moves with it."""

    def day(after: int) -> str:
        return (date.fromisoformat(began) + timedelta(after)).isoformat()

    def steps(after: int) -> dict[str, dict[str, Any]]:
        file = tmp_path / "agenda.ics"
        told = ask("agenda", "--on", day(after), "--days", 40, "--ics", file)
        uids = [row["uid"] for row in rows(told, "step")]
        read = [event for event in events(file) if event["uid"] in uids]
        assert [event["uid"] for event in read] == uids
        return merged(read)

    ask("place", "stair foot", "--apart", "--usual-c", 20, "--on", began)
    for code in ("S03", "S04"):
        ask("add", code, "--name", "Pintle", "--place", "stair foot", "--on", began)
    ask("treat", "contact-spray", "--place", "stair foot", "--on", began)
    whole = steps(0)
    # one entry a plant and step, also where screens tell them as one; what is not done by the end
    # of the day is done the day after at the earliest
    assert sorted(event["on"] for event in whole.values()) == sorted(
        2 * [day(after) for after in (0, 8, 15, 22)]
    )
    ask("treat", "S03", "contact-spray", "--done", "--on", day(0))
    ask("treat", "S03", "contact-spray", "--done", "--on", day(7))
    before = steps(7)
    assert set(before) < set(whole)
    waits = steps(20)
    of_s03 = [uid for uid, event in waits.items() if event["summary"].startswith("S03")]
    assert [waits[uid]["on"] for uid in of_s03] == [day(20), day(28)]
    ask("treat", "S03", "contact-spray", "--done", "--on", day(21))
    after = steps(21)
    (last,) = set(of_s03) & set(after)
    assert after[last]["on"] == day(28)
    assert last in whole
    held = merged(*(list(edition.values()) for edition in (whole, before, waits, after)))
    assert set(held) == set(whole)
    assert held[last] == after[last]
    # undone, the step comes back by the name it had
    (course,) = ask("plant", "S03", "--on", day(21))["courses"]
    ask("withdraw", course["steps"][2]["id"], "--on", day(21))
    assert set(steps(21)) == set(waits)
