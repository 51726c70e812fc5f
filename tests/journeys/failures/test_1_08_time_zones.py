"""Row 1.8: clocks jump, and the phone may be in another zone than the pond.

The server's half, over every zone there is, is held by tests/properties; here a phone far away walks the pond's round
over four jumps: an hour at two in the night, half an hour, an hour at midnight, and a whole day.

Source of the jumps: the IANA time zone database (tzdata), as Chromium's and Python's copies have it.
"""

import re
from datetime import date, datetime, timedelta
from typing import NamedTuple
from zoneinfo import ZoneInfo

import pytest
from journeys.failures.device import note
from journeys.household import Caller
from journeys.phones import sign_in
from playwright.sync_api import expect

NIGHTLY = {
    "text": "Look under the covers",
    "place": "At the water",
    "recur": {"every": "day"},
    "windows": {"early": {"part": "morning", "opens": "05:15", "closes": "23:50"}},
    "minutes": 2,
    "order": 5,
}


class Jump(NamedTuple):
    """A night in which a zone's clocks jump: the moment shortly before, and what they say an hour later."""

    zone: str
    before: datetime
    hour_later: str
    latitude: float
    longitude: float


def jump(zone: str, before: str, hour_later: str, latitude: float, longitude: float) -> Jump:
    return Jump(zone, datetime.fromisoformat(before).replace(tzinfo=ZoneInfo(zone)), hour_later, latitude, longitude)


JUMPS = [
    jump("America/New_York", "2026-03-08T01:30", "2026-03-08T03:30 -04:00", 40.7, -74.0),
    jump("America/New_York", "2026-11-01T01:30", "2026-11-01T01:30 -05:00", 40.7, -74.0),
    jump("Australia/Lord_Howe", "2026-10-04T01:30", "2026-10-04T03:00 +11:00", -31.6, 159.1),
    jump("America/Santiago", "2026-09-05T23:30", "2026-09-06T01:30 -03:00", -33.4, -70.7),
    jump("Pacific/Apia", "2011-12-29T23:30", "2011-12-31T00:30 +14:00", -13.8, -171.8),
]


@pytest.fixture(params=JUMPS, ids=lambda one: f"{one.zone} {one.before.date()}")
def night(request) -> Jump:
    return request.param


@pytest.fixture
def page(night, home, new_phone):
    """A phone of somebody in Tokyo, signed in to a household in the zone that jumps."""
    home.clock.set(night.before)
    caller = Caller(home.url, home.clock).begin()
    caller.set_up(zone=night.zone, latitude=night.latitude, longitude=night.longitude)
    wanted = [{"target": "job/under", "field": name, "value": value} for name, value in NIGHTLY.items()]
    caller.keep(*(caller.entry("set", effective_from=None, **one) for one in wanted))
    page = new_phone(timezone_id="Asia/Tokyo")
    sign_in(page)
    yield page
    caller.close()


def test_a_daily_job_stands_once_on_each_day_the_zone_has_at_the_ponds_own_hour(page, night):
    today = night.before.date()
    for ahead in range(4):
        on = today + timedelta(days=ahead)
        page.goto("/round" if ahead == 0 else f"/round?day={on}")
        expect(page.get_by_role("heading", level=1)).to_be_visible()
        jobs = page.get_by_role("listitem").filter(has_text=NIGHTLY["text"])
        if not exists(on, night.zone):
            expect(jobs).to_have_count(0)
            continue
        expect(jobs).to_have_count(1)
        expect(jobs).to_contain_text(re.compile("from 05:15|by 23:50"))


def test_an_entry_says_the_ponds_date_and_its_offset_before_the_jump_and_after(page, night, home):
    note(page, "before")
    home.clock.set(night.before.astimezone(ZoneInfo("UTC")) + timedelta(hours=1))
    page.clock.fast_forward(timedelta(hours=1) // timedelta(milliseconds=1))
    note(page, "an hour later")
    expect(page.get_by_text("All sent")).to_be_visible()
    caller = Caller(home.url, home.clock).sign_in()
    before, after = (one["entry"] for one in caller.log("note"))
    caller.close()
    assert (before["zone"], after["zone"]) == (night.zone, night.zone)
    assert told(before) == f"{night.before:%Y-%m-%dT%H:%M} {offset(night.before)}"
    assert told(after) == night.hour_later
    assert before["local_date"] == before["happened_at"][:10]
    assert after["local_date"] == after["happened_at"][:10]


def told(entry: dict[str, str]) -> str:
    """The moment as the entry writes it, to the minute, and its offset."""
    return f"{entry['happened_at'][:16]} {entry['happened_at'][-6:]}"


def offset(at: datetime) -> str:
    """The zone's offset at that moment as it is written: "-05:00"."""
    return at.isoformat()[-6:]


def exists(on: date, zone: str) -> bool:
    """Whether the zone has that day: noon there comes back as noon of the same day."""
    noon = datetime(on.year, on.month, on.day, 12, tzinfo=ZoneInfo(zone))
    return noon.astimezone(ZoneInfo("UTC")).astimezone(ZoneInfo(zone)).date() == on
