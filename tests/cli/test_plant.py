"""plant: its zones, every look that was ever entered, times in quarantine, moves."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from rounds.core.log.entries import OpenLook, StageGiven, Tally, Withdrawal
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.entry_ids import read_entry_name
from rounds.store import log

Ask = Callable[..., Any]

DAY = date(2026, 5, 4)

pytestmark = pytest.mark.usefixtures("porch")


def test_zones_stand_from_top_to_bottom_with_their_shares(ask: Ask) -> None:
    found = ask("plant", "G02")
    zones = found["zones"]
    assert [zone["zone"] for zone in zones][-1] == "roots"
    assert sum(zone["weight"] for zone in zones) == pytest.approx(1)
    outside = [zone["reference_seconds"] for zone in zones[:-1]]
    assert sum(outside) == pytest.approx(180)
    assert zones[-1]["reference_seconds"] == 120
    assert all(zone["last_look_on"] is None for zone in zones)
    left = sum(zone["probably_left"] for zone in zones)
    assert left == pytest.approx(found["plant"]["probably_left"]["mean"])
    assert {zone["zone"]: zone["tucked_share"] for zone in zones}["sheaths"] == 0.6


def test_the_last_look_of_each_zone_is_that_of_the_day_spoken_about(ask: Ask) -> None:
    ask("look", "S03", "axils", "--seconds", 9, "--on", "2026-05-01")
    ask("look", "S03", "axils", "--seconds", 9, "--on", "2026-05-03")
    ask("look", "S03", "medium", "--cannot-see", "moss", "--on", "2026-05-03")
    for day, last in (("2026-05-02", "2026-05-01"), ("2026-05-04", "2026-05-03")):
        page = ask("plant", "S03", "--on", day)
        seen = {zone["zone"]: zone["last_look_on"] for zone in page["zones"]}
        assert seen["axils"] == last
        assert seen["medium"] is None
        assert page["looks"][0]["day"] == "2026-05-01"


def test_a_look_of_a_later_day_is_not_read(ask: Ask) -> None:
    ask("look", "S03", "axils", "--seconds", 9, "--removed", 1, "--on", "2026-05-05")
    page = ask("plant", "S03")
    assert page["looks"] == []
    assert page["plant"]["last_find_on"] is None


def test_a_plant_has_no_page_before_it_came(refused: Ask) -> None:
    error = refused(2, "plant", "S03", "--on", "2026-04-27")
    assert error["code"] == "plant-not-yet"
    assert "28 April 2026" in error["message"]
    assert refused(2, "plant", "S04")["code"] == "unknown-plant"


def reopen(logbook_file: Path, look: str, *, closed: bool) -> str:
    """Write that a look was opened again, as a round does; the name of the look it is now."""
    name = read_entry_name(look)
    with Logbook(logbook_file) as logbook:
        file = logbook.file
        (old,) = log.entries_of(file, name.owner_id, DAY, DAY).looks
        with file.writing():
            new = file.next_id()
            log.append_withdrawal(
                file,
                Withdrawal(file.next_id(), DAY, old.plant_id, old.id, 0, "reopened", new),
            )
            if closed:
                log.append_look(file, replace(old, id=new))
            else:
                log.put_open_look(
                    file,
                    OpenLook(new, DAY, old.plant_id, old.zone, old.round_id, old.began_at, 12.0),
                )
    return str(replace(name, entry_id=new))


@pytest.mark.parametrize("closed", [True, False])
def test_counts_of_a_look_opened_again_stand_under_the_look_it_is_now(
    ask: Ask, logbook_file: Path, closed: bool
) -> None:
    kept = ask("look", "S03", "axils", "--seconds", 40, "--removed", 2, "--killed", 1)
    heir = reopen(logbook_file, kept["look_ids"][0], closed=closed)
    first, second = ask("plant", "S03")["looks"]
    assert (first["id"], first["withdrawn"], first["found"]) == (kept["look_ids"][0], True, 0)
    assert first["tallies"] == []
    assert (second["id"], second["withdrawn"], second["found"]) == (heir, False, 3)
    assert [tally["id"] for tally in second["tallies"]] == kept["tally_ids"]
    assert not any(tally["withdrawn"] for tally in second["tallies"])
    assert second["outcome"] == ("looked" if closed else "partial")
    assert second["credited_seconds"] == (16 if closed else 0)


def test_counts_stay_listed_under_the_last_look_when_that_is_taken_back(
    ask: Ask, logbook_file: Path
) -> None:
    kept = ask("look", "S03", "axils", "--seconds", 40, "--removed", 2)
    heir = reopen(logbook_file, kept["look_ids"][0], closed=True)
    assert ask("withdraw", heir)["withdrawn"] == [heir, *kept["tally_ids"]]
    first, second = ask("plant", "S03")["looks"]
    assert first["withdrawn"]
    assert second["withdrawn"]
    assert [(t["id"], t["withdrawn"]) for t in second["tallies"]] == [(kept["tally_ids"][0], True)]
    assert second["found"] == 0


def test_a_stage_given_later_is_the_stage_of_the_count(ask: Ask, logbook_file: Path) -> None:
    kept = ask("look", "S03", "axils", "--seconds", 40, "--removed", 2)
    name = read_entry_name(kept["tally_ids"][0])
    with Logbook(logbook_file) as logbook, logbook.file.writing():
        given = StageGiven(logbook.file.next_id(), DAY, name.owner_id, name.entry_id, 0, "adult")
        log.append_stage(logbook.file, given)
    (look,) = ask("plant", "S03")["looks"]
    assert look["tallies"][0]["stage"] == "adult"


def test_finds_of_a_look_in_progress_count_at_once(ask: Ask, logbook_file: Path) -> None:
    kept = ask("look", "S03", "axils", "--seconds", 40)
    heir = read_entry_name(reopen(logbook_file, kept["look_ids"][0], closed=False))
    with Logbook(logbook_file) as logbook, logbook.file.writing():
        log.append_tally(
            logbook.file,
            Tally(logbook.file.next_id(), DAY, heir.owner_id, heir.entry_id, 0, "left", None,
                  "mealybug", 4),
        )  # fmt: skip
    page = ask("plant", "S03")
    assert page["looks"][-1]["left"] == 4
    assert page["plant"]["last_find_on"] == "2026-05-04"


def test_a_person_reads_the_whole_page(ask: Ask, call: Ask) -> None:
    kept = ask("look", "S03", "axils", "--seconds", 40, "--removed", 2, "--doubtful", 1)
    ask("settle", kept["tally_ids"][1], "remains")
    other = ask("look", "S03", "roots", "--seconds", 40, "--unpotted")
    ask("look", "S03", "medium", "--cannot-see", "moss")
    gone = ask("look", "S03", "pot-rim", "--seconds", 4)
    ask("withdraw", gone["look_ids"][0])
    said = call("plant", "S03").out
    for text in ("insects last found today", "unsure: old remains", "out of the pot", "withdrawn",
                 "couldn't be seen", "Times in quarantine", "Where it stood", "chance clean",
                 kept["look_ids"][0], kept["tally_ids"][0], other["look_ids"][0]):  # fmt: skip
        assert text in said
    ask("release", "S03", "--early", "needed on the porch")
    said = call("plant", "S03").out
    assert "early: needed on the porch" in said
    assert "no insects ever found" in call("plant", "G02").out
    assert "No look yet." in call("plant", "G02").out


def test_the_chance_clean_has_its_band_and_what_gives_the_low_end(ask: Ask) -> None:
    chance = ask("plant", "S03")["plant"]["chance_clean"]
    assert 0 < chance["low"] < chance["value"] < chance["high"] < 1
    low_why = chance["low_why"]
    assert low_why["code"] == "start-likelier", "nobody has looked at it yet"
    assert low_why["text"] == "lowest if every second such plant began infested"


def test_heat_nothing_is_known_of_is_told_of_the_plants_that_stood_in_it(
    ask: Ask, call: Callable[..., Any]
) -> None:
    assert ask("plant", "G02")["heat"] is None
    for day, most in (("2026-04-20", 33.5), ("2026-04-22", 32), ("2026-05-02", 36)):
        said = call("weather", "porch shelf", day, "--min", "20", "--max", most).out
        assert ("beyond what is known" in said) is (most > 32)
    found = ask("plant", "G02")["heat"]
    assert found == {"above_c": 32, "days": 2, "last_on": "2026-05-02", "greatest_c": 36}
    page = call("plant", "G02").out
    assert "above 32 degC on 2 days, last 2 May: beyond what is known" in page
    assert ask("plant", "S03")["heat"] is None, "it stood elsewhere"
    assert ask("plant", "G02", "--on", "2026-04-19")["heat"] is None
    # half a year later these days are no longer read
    assert ask("plant", "G02", "--on", "2026-11-20")["heat"] is None
