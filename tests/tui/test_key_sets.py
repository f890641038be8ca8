"""Keys may lie elsewhere: under the right hand, on a number pad, or where a grower's file says."""

from collections.abc import Iterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

import pytest

from rounds.cli.main import main
from rounds.clock import SetClock
from rounds.errors import BadInput
from rounds.service.logbook.book import Logbook
from rounds.tui.app import RoundsApp
from rounds.tui.key_files import bind_all, keys_named, read_keys
from rounds.tui.keys import SETS, bound_together, key_of, key_set, keys_in_use, use
from rounds.tui.keys_page import keys_page
from tests.tui.conftest import at_the_keys


@pytest.fixture(autouse=True)
def _as_usual() -> Iterator[None]:
    """Whatever was laid over them, the usual keys come back."""
    yield
    use(key_set())


@pytest.fixture
def with_keys(clock: SetClock) -> Any:
    """The screens, opened with keys."""

    @asynccontextmanager
    async def open_with(path: Path, keys: str | None, size: tuple[int, int] = (80, 24)) -> Any:
        app = RoundsApp(path, "Keeper", clock, keys)
        async with at_the_keys(app, path, clock, size) as driver:
            yield driver

    return open_with


def own(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "keys.toml"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize("name", SETS)
def test_a_set_has_every_role_once_and_no_two_on_one_key(name: str) -> None:
    keys = keys_named(name, Path("none"))
    assert set(keys) == set(key_set())
    assert len(set(keys.values())) == len(keys)
    bind_all()
    bound = bound_together()
    assert bound["round"] >= {"removed", "next", "yes", "leave"}
    assert set().union(*bound.values()) <= set(keys)


async def test_a_round_on_the_pad_counts_goes_on_and_takes_back(few: Path, with_keys: Any) -> None:
    async with with_keys(few, "pad") as driver:
        await driver.press("enter")
        await driver.shows("plant 1 of ", "+ done here, next zone", ". removed", "- undo")
        await driver.press("1", "2", "full_stop")
        assert driver.screen.view.zone.counts.removed == 12
        assert "w quarantine" in driver.text
        await driver.press("minus")
        assert driver.screen.view.zone.counts.removed == 0
        await driver.press("3", "comma")
        assert driver.screen.view.zone.counts.removed == 3, "the comma of some pads is the point"
        await driver.press("z", "asterisk")
        assert driver.screen.view.zone.counts.doubtful == 1
        zone = driver.screen.view.zone.zone
        await driver.press("plus")
        assert driver.screen.view.zone.zone != zone
        await driver.press("slash")
        assert driver.screen.view.zone.zone == zone


@pytest.mark.parametrize("pressed", ["j", "J"])
async def test_under_the_right_hand_the_old_key_is_free_and_case_does_not_matter(
    few: Path, with_keys: Any, pressed: str
) -> None:
    async with with_keys(few, "right") as driver:
        await driver.press("enter")
        await driver.shows("j removed", "p stop here")
        await driver.press("d")
        assert driver.screen.view.zone.counts.killed == 0
        await driver.press(pressed)
        assert driver.screen.view.zone.counts.removed == 1


async def test_help_names_the_keys_in_use_and_its_own_key_closes_it(
    few: Path, with_keys: Any
) -> None:
    async with with_keys(few, "right") as driver:
        await driver.press("enter", "w")
        await driver.shows("j k l", "w  closes this")
        await driver.press("w")
        await driver.shows("plant 1 of ")
        await driver.press("p")
        await driver.shows("go on with the round")


async def test_the_setting_of_a_logbook_moves_the_keys_and_the_start_outranks_it(
    few: Path, clock: SetClock, with_keys: Any
) -> None:
    with Logbook(few, clock) as logbook:
        logbook.put_setting("keys", "right")
        logbook.put_setting("colours", "light")
    async with with_keys(few, None) as driver:
        await driver.shows("p leave")
        assert driver.app.theme == "rounds-light"
    async with with_keys(few, "left") as driver:
        await driver.shows("q leave")


async def test_a_setting_changed_on_a_page_holds_when_one_comes_back(
    few: Path, with_keys: Any
) -> None:
    async with with_keys(few, None) as driver:
        await driver.press("l")
        await driver.shows("all plants")
        driver.app.logbook.put_setting("keys", "right")
        driver.app.logbook.put_setting("colours", "contrast")
        await driver.press("q")
        await driver.shows("v plants", "p leave")
        assert driver.app.theme == "rounds-contrast"
        await driver.press("v")
        await driver.shows("all plants")


async def test_an_own_file_moves_what_it_names_and_leaves_the_rest(
    few: Path, tmp_path: Path, with_keys: Any
) -> None:
    path = own(tmp_path, 'base = "right"\nremoved = "+"\nyoung = "j"\n')
    async with with_keys(few, str(path)) as driver:
        await driver.press("enter")
        await driver.shows("+ removed", "j young", "k killed")
        await driver.press("plus", "j")
        assert driver.screen.view.zone.counts.removed == 1
        await driver.shows("saved: 1 removed, young")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('remved = "j"', "no role 'remved'; the nearest is removed"),
        ('removed = "d"', "killed and removed lie on one key, d"),
        ('removed = "7"', "removed cannot lie on '7'"),
        ('removed = "F"', "removed cannot lie on 'F'"),
        ('removed = "ctrl+x"', "removed cannot lie on 'ctrl\\+x'"),
        ("removed = 4", "removed cannot lie on '4'"),
        ('removed = ","', "removed cannot lie on ','"),
        ('begin = "x"', "begin cannot be moved: it stays on enter"),
        ('base = "feet"', "base names no set of keys: 'feet'"),
        ('removed = "', "are not TOML"),
        ("[round]\nremoved = 'j'", "no role 'round'"),
    ],
)
def test_what_cannot_work_is_refused_with_a_sentence(tmp_path: Path, text: str, said: str) -> None:
    path = own(tmp_path, text)
    with pytest.raises(BadInput, match=said) as refused:
        keys_named(str(path), Path("none"))
    assert str(path) in str(refused.value)


def test_two_roles_may_share_a_key_where_they_never_meet(tmp_path: Path) -> None:
    """Minutes are asked for on today, which has no young insects."""
    keys = read_keys(own(tmp_path, 'minutes = "t"\n'))
    assert keys["minutes"] == keys["young"] == "t"


def test_a_file_that_is_not_there_ends_the_call_before_anything_is_opened(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("rounds.cli.screens.check_terminal", lambda: None)
    book = tmp_path / "new.db"
    given = ["--db", str(book), "--keys", str(tmp_path / "none.toml")]
    assert main(given) == 2
    assert "cannot be read: no such file" in capsys.readouterr().err
    assert not book.exists()


def test_the_own_file_lies_in_the_folder_for_settings(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, clock: SetClock
) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    folder = tmp_path / "rounds"
    folder.mkdir()
    own(folder, 'removed = "m"\nminutes = "f"\n')
    RoundsApp(tmp_path / "new.db", clock=clock, keys="own")
    assert key_of("removed") == "m"


async def test_keys_of_a_logbook_that_cannot_be_had_end_it_and_the_usual_ones_get_in(
    few: Path,
    tmp_path: Path,
    clock: SetClock,
    with_keys: Any,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    with Logbook(few, clock) as logbook:
        logbook.put_setting("keys", "own")
    app = RoundsApp(few, "Keeper", clock)
    async with app.run_test() as pilot:
        for _ in range(200):
            if app.fault is not None:
                break
            await pilot.pause()
    assert app.fault is not None
    assert "`rounds --keys left` always works" in str(app.fault)
    async with with_keys(few, "left") as driver:
        await driver.shows("q leave")


def test_the_page_on_the_keys_can_be_had_for_every_set() -> None:
    use(keys_named("right", Path("none")))
    assert keys_in_use()["removed"] == "j"
    page = keys_page()
    assert "| `j` `k` `l` | found alive: removed, killed in place, left untouched |" in page
    assert "Between two plants, where hands and tools are cleaned, `space` goes on, and `m`" in page
