"""The helper's troubles are the keepers', in steps that anybody may take."""

from evenwater.domain.away.plain_troubles import PLAIN_TROUBLES
from evenwater.domain.rounds.troubles import TROUBLES


def test_they_are_the_keepers_troubles_by_the_same_names() -> None:
    assert [(one.id, one.title) for one in PLAIN_TROUBLES] == [(one.id, one.title) for one in TROUBLES]


def test_each_ends_in_ringing_and_asks_for_no_test_and_no_chemical() -> None:
    for one in PLAIN_TROUBLES:
        assert "ring" in one.steps[-1].lower()
        said = " ".join(one.steps).lower()
        assert not any(word in said for word in ("test ", "dechlorinator", "ammonia", "nitrite", "kh"))
