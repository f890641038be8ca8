"""What the tests of the service share."""

import pytest

from rounds.service.round import RoundWalk
from tests.service.whole_plants import DAY_BEFORE, Add, Walk, in_one_go


@pytest.fixture
def whole(add: Add, walk: Walk) -> RoundWalk:
    """A round of one plant that is looked at in one go."""
    add("G02", on=DAY_BEFORE)
    return in_one_go(walk())
