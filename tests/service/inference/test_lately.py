"""What was asked for last is the same object; what was asked for longest ago is made anew."""

from rounds.service.logbook.lately import Lately


def test_the_last_few_are_held_and_no_more() -> None:
    held = Lately[object](2)
    first, second = held.get("first", object), held.get("second", object)
    assert held.get("first", object) is first
    held.get("third", object)
    assert held.get("first", object) is first, "asked for after the second"
    assert held.get("second", object) is not second
