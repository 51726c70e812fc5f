"""The Warmth page over the wire: from samples and entries, worked out anew only when something of warmth is new."""

from datetime import UTC, datetime, timedelta
from math import cos, pi

import pytest

from evenwater.domain.rounds.standing_jobs import STARTER, as_settings
from evenwater.storage.samples import Sample, keep_samples
from evenwater.storage.weather import WeatherState, keep_weather, keep_weather_state

START = datetime(2026, 11, 3, 16, 30, tzinfo=UTC)
HOUR = timedelta(hours=1)
LONG_AGO = START - timedelta(days=40)


@pytest.fixture
async def pond(phone):
    """A pond with covers, a place and the weather service switched on."""
    settings = {"volume_l": 20_000, "zone": "UTC", "latitude": 52.0, "longitude": 0.0, "weather_service": True}
    entries = [phone.entry("set", LONG_AGO, target="pond", field=f, value=v) for f, v in settings.items()]
    for job in STARTER:
        entries += [
            phone.entry("set", LONG_AGO, target=one.target, field=one.field, value=one.value)
            for one in as_settings(job)
        ]
    await phone.sync(*entries)
    return phone


async def page(pond, **more):
    plan = (await pond.sync(want_plan=True, **more))["plan"]
    return next((one for one in plan["warmth"] if one["pond"] == "main"), None)


def hour(nth: float) -> datetime:
    return START.replace(minute=0) + HOUR * nth


async def say_the_weather(database, issued_at: datetime = START - HOUR) -> None:
    """Two days that were and two to come, down to 2 °C at night."""
    samples = []
    for nth in range(-48, 48):
        at, air_c = hour(nth), 5 + 3 * cos((hour(nth).hour - 15) / 12 * pi)
        issued = issued_at if at > issued_at else None
        samples.append(Sample("main/service_air_c", at, round(air_c, 1), issued))
    await keep_weather(database, "main", samples, issued_at, WeatherState())


async def test_a_probe_and_a_weather_service_are_enough_to_foretell_the_night(pond, database):
    water = [Sample("main/water_c", hour(nth) + HOUR / 4, 15.0 + 0.1 * (nth % 3)) for nth in range(-40, 1)]
    await keep_samples(database, water)
    await say_the_weather(database)
    on = pond.entry("tick", hour(-23), standing_job="cover", due_on="2026-11-02", slot="on")
    await pond.sync(on, pond.entry("tick", hour(-7), standing_job="cover", due_on="2026-11-03", slot="off"))
    found = await page(pond)
    assert found["water_c"] == pytest.approx(15.0, abs=0.2)
    assert found["tonight"]["says"] == "air down to 2 °C"
    assert found["tonight"]["source"] == "air by the weather service; forecast 1 hours old"
    assert found["tonight"]["bare_dawn"][1] < found["tonight"]["covered_dawn"][1]


async def test_a_service_that_fails_leaves_the_last_forecast_and_says_so(pond, database, clock):
    await say_the_weather(database)
    await pond.sync(pond.entry("reading", hour(-1), quantity="temperature_c", value=15.0))
    await keep_weather_state(
        database, "main", WeatherState(START - HOUR, START, "The weather service did not answer.", 3)
    )
    clock.now = START + 6 * HOUR
    found = await page(pond, now=clock.now)
    source = found["tonight"]["source"]
    assert source == "air by the weather service; forecast 7 hours old; The weather service did not answer"


async def test_what_has_nothing_to_do_with_warmth_leaves_the_page_as_it_is(pond):
    before = await page(pond)
    await pond.sync(pond.entry("reading", START - HOUR, quantity="kh_dkh", value=4.5))
    assert await page(pond, plan_tags={"warmth/main": before["tag"]}) is None
    await pond.sync(pond.entry("reading", START - HOUR, quantity="temperature_c", value=14.5))
    after = await page(pond, plan_tags={"warmth/main": before["tag"]})
    assert after["water_c"] == 14.5


async def test_samples_that_came_meanwhile_are_seen_within_minutes(pond, database, clock):
    before = await page(pond)
    await keep_samples(database, [Sample("main/water_c", START - HOUR, 13.0)])
    clock.now = START + timedelta(minutes=6)
    after = await page(pond, now=clock.now)
    assert (before["water_c"], after["water_c"]) == (None, 13.0)


async def test_a_logger_s_late_batch_joins_what_was_read_before(pond, database, clock):
    tariff = {"otherwise_rate_per_kwh": 0.25}
    kit = {"heater": {"power_w": 3000, "time_switch": False}, "tariff": tariff}
    await pond.sync(*(pond.entry("set", LONG_AGO, target="pond", field=f, value=v) for f, v in kit.items()))
    await keep_samples(database, [Sample("main/heater_kwh", hour(nth), 100.0 + nth) for nth in range(-90, -80)])

    async def so_far() -> str:
        found = await page(pond, now=clock.now)
        return next(one["says"] for one in found["findings"] if one["id"] == "so-far")

    assert await so_far() == "9 kWh, by the meter."
    await keep_samples(database, [Sample("main/heater_kwh", hour(nth), 100.0 + nth) for nth in range(-3, 0)])
    clock.now = START + HOUR
    assert await so_far() == "89 kWh, by the meter."
