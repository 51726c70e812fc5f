"""Laws of what a helper may add: whatever is sent, only their kinds, ponds and days pass, and no ceiling is passed."""

from datetime import date
from typing import Any

import msgspec
from hypothesis import given
from hypothesis import strategies as st
from properties.drawn_entries import entries

from evenwater.domain.away.allowed import Given, check_allowed
from evenwater.domain.away.hand_over import Ceiling, HandOver, Helper
from evenwater.domain.away.scope import Scope
from evenwater.domain.entries import KINDS, Look, NotDone, Note, Power, Reading, Tick, WaterRunning
from evenwater.domain.errors import DomainError
from evenwater.domain.read_entries import Deferred, read_entry
from evenwater.domain.standing_job import Asks, StandingJob

JO = "00000000-0000-4000-8000-000000000071"
FIRST, LAST = date(2026, 11, 1), date(2026, 11, 5)
CEILING_G = 60.0
JOBS = {
    "main/cover": StandingJob(id="cover", pond="main"),
    "main/buffer": StandingJob(id="buffer", pond="main", shape="dose"),
    "main/feed": StandingJob(id="feed", pond="main", shape="feed"),
    "main/test": StandingJob(id="test", pond="main", asks=(Asks("kh_dkh"),)),
}
SCOPE = Scope(
    hand_over=HandOver(
        id="autumn",
        pond="main",
        begins_on=FIRST,
        ends_on=LAST,
        helpers=(Helper(JO, "Jo"),),
        jobs=tuple(JOBS),
        ceilings=(Ceiling("main", CEILING_G, CEILING_G),),
    ),
    helper=Helper(JO, "Jo"),
    today=FIRST,
    last_day=LAST,
    jobs=JOBS,
)
days = st.dates(date(2026, 10, 30), date(2026, 11, 8))
amounts = st.none() | st.sampled_from([0.0, 1.0, 20.0, 59.999, 60.0, 60.001, 1e5])


def passes(entry: Any, on: date, given_so_far: Given) -> bool:
    try:
        check_allowed(entry, on, SCOPE, given_so_far, {})
    except DomainError as error:
        assert error.code in ("not_for_helpers", "above_ceiling", "rehearsal", "over")
        assert error.what and error.where and error.right
        return False
    return True


@given(st.sampled_from(sorted(KINDS)).flatmap(lambda kind: entries(kinds=[kind])), days, st.booleans())
def test_only_their_kinds_ponds_and_days_pass(told: dict[str, Any], on: date, here: bool) -> None:
    here = here and told["kind"] != "fish_move"  # one of its two ponds is the entry's own
    entry = read_entry(msgspec.json.encode(told | {"author": JO} | ({"pond": "main"} if here else {})))
    assert not isinstance(entry, Deferred)
    if passes(entry, on, Given()):
        assert FIRST <= on <= LAST and entry.pond == "main"
        assert isinstance(entry, Look | Note | NotDone | Power | Reading | Tick | WaterRunning)


@st.composite
def ticks(draw: st.DrawFn) -> tuple[Tick, date]:
    told = draw(entries(kinds=["tick"]))
    told |= {"author": JO, "pond": "main", "standing_job": draw(st.sampled_from(["cover", "buffer", "feed", "salt"]))}
    told |= {"amount_g": draw(amounts), "feed_g": draw(amounts), "due_on": str(FIRST)}
    entry = read_entry(msgspec.json.encode({key: one for key, one in told.items() if one is not None}))
    assert isinstance(entry, Tick)
    return entry, draw(days)


@given(st.lists(ticks(), max_size=12))
def test_no_day_gets_more_than_its_bags_however_often_it_is_sent(sent: list[tuple[Tick, date]]) -> None:
    so_far, taken = Given(), {}
    for entry, on in sent:
        if passes(entry, on, so_far):
            so_far.add(entry, on)
            taken[entry.id] = entry, on
    for day in {on for _, on in taken.values()}:
        there = [entry for entry, on in taken.values() if on == day]
        assert sum(one.amount_g or 0.0 for one in there) <= CEILING_G + 1e-6
        assert sum(one.feed_g or 0.0 for one in there) <= CEILING_G + 1e-6
        assert all(one.override_reason is None and one.setting_c is None for one in there)
        assert all(one.amount_g is None or one.standing_job == "buffer" for one in there)
