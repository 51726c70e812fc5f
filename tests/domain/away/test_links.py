"""To which device a link is bound, and when it may move."""

from datetime import UTC, datetime, timedelta

import pytest
from msgspec.structs import replace

from evenwater.domain.away.links import HelperDevice, HelperLink, may_bind, moves_left, still_may_move

NOW = datetime(2026, 11, 3, 16, 30, tzinfo=UTC)
FRESH = HelperLink(id="l", hand_over="autumn", helper="jo", made_at=NOW, made_by="aki")
BOUND = replace(FRESH, first_bound_at=NOW)
FIRST = HelperDevice(id="d", link="l", device="camera", label="", bound_at=NOW, last_seen_at=NOW)
HOUR = timedelta(hours=1)


def test_the_first_tap_binds():
    assert may_bind(FRESH, [], "camera", NOW + 400 * HOUR) == "first"


@pytest.mark.parametrize(("hours", "moves", "may"), [(0, 0, "moved"), (23.99, 0, "moved"), (24, 0, None), (1, 1, None)])
def test_it_moves_once_within_a_day(hours, moves, may):
    link = replace(BOUND, moves=moves)
    assert may_bind(link, [FIRST], "browser", NOW + hours * HOUR) == may


def test_the_browser_it_is_bound_to_may_always_bind_again():
    assert may_bind(replace(BOUND, moves=1), [FIRST], "camera", NOW + 400 * HOUR) == "again"


def test_a_keeper_lets_it_move_later():
    assert may_bind(replace(BOUND, moves=1, may_move=True), [FIRST], "browser", NOW + 400 * HOUR) == "moved"


def test_a_revoked_link_binds_nothing():
    assert may_bind(replace(FRESH, revoked_at=NOW), [], "camera", NOW) is None


def test_what_it_may_by_itself_is_used_up_before_what_the_keeper_allowed():
    allowed = replace(BOUND, may_move=True)
    assert still_may_move(allowed, "moved", NOW + HOUR) is True
    assert still_may_move(allowed, "moved", NOW + 30 * HOUR) is False
    assert still_may_move(allowed, "again", NOW + 30 * HOUR) is True
    assert still_may_move(BOUND, "moved", NOW) is False


def test_moves_left_are_told_as_they_are():
    assert [moves_left(FRESH, NOW), moves_left(BOUND, NOW), moves_left(BOUND, NOW + 24 * HOUR)] == [1, 1, 0]
    assert moves_left(replace(BOUND, moves=3), NOW) == 0
