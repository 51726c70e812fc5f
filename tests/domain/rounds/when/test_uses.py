"""When a measure is full: by a counter's straight lines and its pace, against counting the days one by one."""

from datetime import UTC, date, datetime, time, timedelta
from uuid import UUID

import msgspec
from hypothesis import given
from hypothesis import strategies as st

from evenwater.domain.fold import Facts, Seen
from evenwater.domain.kit import KitItem
from evenwater.domain.pond import Pond
from evenwater.domain.read_entries import read_entry
from evenwater.domain.rounds.when.uses import use_of
from evenwater.domain.standing_job import ByUse

TODAY, DAY = date(2026, 11, 3), timedelta(days=1)
HOURS_PER_DAY = 12.0
POND = Pond(id="main", kit=(KitItem(id="pump", name="Pump", hours_per_day=HOURS_PER_DAY),))


def shown(number: int, on: date, hours: float) -> Seen:
    at = datetime.combine(on, time(12), UTC)
    one, stamp = str(UUID(int=number)), at.isoformat()
    entry = {"id": one, "v": 1, "pond": "main", "kind": "meter", "device": one, "author": one, "zone": "UTC"}
    entry |= {"happened_at": stamp, "recorded_at": stamp, "local_date": str(on), "kit": "pump", "hours": hours}
    return Seen(read_entry(msgspec.json.encode(entry)), number, at, on)


def hours_between(rates: list[float], since: int, until: int) -> float:
    """Hours run from one day to another, each day at its own rate; the last one's goes on."""
    return sum(rates[min(day, len(rates) - 1)] for day in range(since, until))


@given(
    st.lists(st.integers(1, 24).map(float), min_size=1, max_size=30),
    st.integers(1, 400),
    st.integers(0, 20),
    st.data(),
)
def test_a_measure_is_full_on_the_first_day_the_counter_has_run_so_long(rates, amount, since, data):
    # The counter is read each day from the first on; the pump runs at a rate of its own each day.
    first = TODAY - len(rates) * DAY
    since = min(since, len(rates) - 1)
    totals = [1000.0]
    for rate in rates:
        totals.append(totals[-1] + rate)
    facts = Facts(shown(n + 1, first + n * DAY, total) for n, total in enumerate(totals))
    use = use_of(ByUse("hours", float(amount), kit="pump"), POND, facts, first + since * DAY, TODAY)
    days = next(n for n in range(1, 1000) if hours_between(rates, since, since + n) >= amount)
    assert use.due_on == first + (since + days) * DAY
    assert use.known and use.days == max(1, -(-amount // int(rates[-1])))


@given(st.integers(1, 3000), st.integers(0, 100))
def test_without_a_counter_the_hours_set_say_it(amount, ago):
    since = TODAY - ago * DAY
    use = use_of(ByUse("hours", float(amount), kit="pump"), POND, Facts(), since, TODAY)
    days = -(-amount // int(HOURS_PER_DAY))
    assert (use.due_on, use.days) == (since + days * DAY, days)


def test_never_done_it_counts_from_when_the_item_was_fitted():
    kit = (KitItem(id="pump", name="Pump", hours_per_day=10.0, fitted_on=TODAY - 30 * DAY),)
    use = use_of(ByUse("hours", 500.0, kit="pump"), Pond(id="main", kit=kit), Facts(), None, TODAY)
    assert use.due_on == TODAY + 20 * DAY
    assert use.words == "every 500 h; 300 h since Sun 4 Oct"


def test_a_pump_that_stands_still_makes_nothing_due_and_says_so():
    kit = (KitItem(id="pump", name="Big pump", hours_per_day=0.0),)
    use = use_of(ByUse("hours", 500.0, kit="pump"), Pond(id="main", kit=kit), Facts(), TODAY, TODAY)
    assert not use.known
    assert use.words == "how many hours Big pump runs: set it under kit, or note what its counter shows"


def test_what_is_next_to_no_flow_is_due_in_years_and_takes_no_plan_away():
    kit = (KitItem(id="pump", name="Pump", hours_per_day=5e-324),)
    use = use_of(ByUse("hours", 500.0, kit="pump"), Pond(id="main", kit=kit), Facts(), TODAY, TODAY)
    assert use.known
    assert use.due_on is not None and use.due_on > TODAY + 3000 * DAY


def test_readings_since_before_what_is_remembered_are_not_known():
    use = use_of(ByUse("readings", 50.0, quantity="ph"), POND, Facts(), TODAY - 91 * DAY, TODAY)
    assert (use.known, use.words) == (
        False,
        "how many readings of pH since it was last done on 4 Aug, and 90 days are looked through",
    )
