"""What a weather service said: its last word on what has been, its forecasts, and how asking went."""

from datetime import UTC, datetime, timedelta

from evenwater.storage.database import Database
from evenwater.storage.samples import Sample, hourly_of_pond, latest_forecast, thin
from evenwater.storage.weather import WeatherState, keep_weather, keep_weather_state, weather_state

START = datetime(2026, 11, 1, 0, 20, tzinfo=UTC)
HOUR, DAY = timedelta(hours=1), timedelta(days=1)
AIR = "main/service_air_c"


async def issue(database: Database, at: datetime, value: float = 5.0, pond: str = "main") -> None:
    """A forecast of four days, issued after the one before."""
    hour = at.replace(minute=0)
    ahead = [Sample(f"{pond}/service_air_c", hour + n * HOUR, value, at) for n in range(1, 97)]
    before = await weather_state(database, pond) or WeatherState()
    await keep_weather(database, pond, [Sample(f"{pond}/service_air_c", hour, value), *ahead], at, before)


async def issues(database: Database) -> dict[datetime, int]:
    rows = await database.reader.execute_fetchall(
        "SELECT issued_at, count(*) FROM sample WHERE issued_at > '' AND series = ? GROUP BY 1 ORDER BY 1", (AIR,)
    )
    return {datetime.fromisoformat(issued_at): count for issued_at, count in rows}


async def test_the_services_last_word_on_an_hour_stands(database):
    for value in (5.0, 5.5):
        await keep_weather(database, "main", [Sample(AIR, START, value)], START, WeatherState())
    assert (await hourly_of_pond(database, "main", START - HOUR, START + HOUR))["service_air_c"][0][1] == 5.5
    await thin(database, START + DAY)
    await keep_weather(database, "main", [Sample(AIR, START.replace(minute=0), 9.0)], START, WeatherState())
    assert (await hourly_of_pond(database, "main", START - HOUR, START + HOUR))["service_air_c"][0][1] == 5.5


async def test_how_asking_went_is_kept_and_ends_with_the_next_good_answer(database):
    assert await weather_state(database, "main") is None
    failed = WeatherState(None, START, "the weather service cannot be reached", 3)
    await keep_weather_state(database, "main", failed)
    assert await weather_state(database, "main") == failed
    await issue(database, START + HOUR)
    assert await weather_state(database, "main") == WeatherState(last_good_at=START + HOUR)
    assert await weather_state(database, "other") is None


async def test_old_forecasts_stand_twice_a_day_with_their_first_two_days(database):
    for hours in range(100):
        await issue(database, START + hours * HOUR, float(hours))
    found = await issues(database)
    old = {at: count for at, count in found.items() if at < START + 99 * HOUR - 2 * DAY}
    assert old == {START + n * 12 * HOUR: 48 for n in range(5)}
    assert list(found.values())[5:] == [96] * 49
    issued_at, ahead = await latest_forecast(database, "main", START + 99 * HOUR)
    assert (issued_at, len(ahead["air_c"])) == (START + 99 * HOUR, 96)


async def test_after_a_long_silence_nothing_old_is_left_over(database):
    for hours in range(10):
        await issue(database, START + hours * HOUR)
        await issue(database, START + hours * HOUR, pond="other")
    await issue(database, START + 60 * DAY)
    assert list((await issues(database)).items()) == [(START, 48), (START + 60 * DAY, 96)]
    other = await latest_forecast(database, "other", START + 10 * HOUR)
    assert other is not None and other[0] == START + 9 * HOUR
