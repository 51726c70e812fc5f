"""Who hears of what, in which order, and when the next one does."""

from datetime import UTC, datetime, timedelta

from evenwater.domain.messages import Reach
from evenwater.domain.rounds.heard.alarms import Alarm, Concern, order_on_duty, to_hear

NOON = datetime(2026, 11, 24, 12, tzinfo=UTC)
MINUTE, HOUR = timedelta(minutes=1), timedelta(hours=1)
KEEPERS = ["marit", "tove", "aki"]


def concern(**more: object) -> Concern:
    usual = {"about": "job/1", "what": "job", "pond": "main", "at": NOON, "title": "Not done", "says": "By 12:00."}
    return Concern(**usual | more)  # type: ignore[arg-type]


def alarm(raised_at: datetime = NOON, **more: object) -> Alarm:
    return Alarm(id="a", concern=concern(**more), raised_at=raised_at)


def awake(*people: str) -> list[Reach]:
    return [Reach(person=one, quiet_from=None, quiet_to=None) for one in people]


def test_whose_it_is_hears_before_whoever_is_on_duty():
    assert order_on_duty(concern(), ["tove", "marit"], KEEPERS) == ["tove", "marit"]
    assert order_on_duty(concern(whose=("aki", "tove")), ["tove", "marit"], KEEPERS) == ["aki", "tove", "marit"]


def test_nobody_set_for_duty_means_all_keepers_as_they_joined():
    assert order_on_duty(concern(), [], KEEPERS) == KEEPERS


def test_who_reported_it_and_who_has_left_are_left_out():
    assert order_on_duty(concern(not_to="marit", whose=("helper",)), ["gone", "marit", "tove"], KEEPERS) == ["tove"]


def test_the_first_hears_at_once_and_the_next_after_half_an_hour_each_once():
    line, told = awake("marit", "tove"), {}
    heard = []
    for minute in range(0, 120, 5):
        now = NOON + minute * MINUTE
        for person in to_hear(alarm(), line, told, now):
            heard.append((minute, person))
            told[person] = now
    assert heard == [(0, "marit"), (30, "tove")]


def test_the_next_waits_half_an_hour_from_when_the_one_before_heard_not_from_when_it_began():
    assert to_hear(alarm(NOON - 5 * HOUR), awake("marit", "tove"), {}, NOON) == ["marit"]
    assert to_hear(alarm(NOON - 5 * HOUR), awake("marit", "tove"), {"marit": NOON}, NOON + 29 * MINUTE) == []
    assert to_hear(alarm(NOON - 5 * HOUR), awake("marit", "tove"), {"marit": NOON}, NOON + 30 * MINUTE) == ["tove"]


def test_once_somebody_is_on_it_or_it_is_over_nobody_else_hears():
    seen = Alarm(id="a", concern=concern(), raised_at=NOON, on_it="marit", on_it_at=NOON)
    over = Alarm(id="a", concern=concern(), raised_at=NOON, over_at=NOON)
    for one in (seen, over):
        assert to_hear(one, awake("marit", "tove"), {"marit": NOON}, NOON + 2 * HOUR) == []


def test_what_asks_nobody_to_act_goes_to_the_first_alone():
    assert to_hear(alarm(next_too=False), awake("marit", "tove"), {"marit": NOON}, NOON + 2 * HOUR) == []


def test_in_quiet_hours_it_waits_and_the_next_who_is_awake_does_not_wait_for_the_morning():
    night = datetime(2026, 11, 24, 23, tzinfo=UTC)
    asleep, up = Reach(person="marit"), Reach(person="tove", quiet_from=None, quiet_to=None)
    assert to_hear(alarm(night), [asleep, up], {}, night) == []
    assert to_hear(alarm(night), [asleep, up], {}, night + 30 * MINUTE) == ["tove"]
    told = {"tove": night + 30 * MINUTE}
    assert to_hear(alarm(night), [asleep, up], told, night + 7 * HOUR) == []
    assert to_hear(alarm(night), [asleep, up], told, night + 7.5 * HOUR) == ["marit"]


def test_what_may_cost_fish_by_morning_wakes_people():
    night = datetime(2026, 11, 24, 23, tzinfo=UTC)
    assert to_hear(alarm(night, act_now=True), [Reach(person="marit")], {}, night) == ["marit"]


def test_nobody_to_be_reached_is_told_nothing():
    assert to_hear(alarm(), [], {}, NOON) == []
