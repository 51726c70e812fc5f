"""A weather service over a real socket: what is asked, what is believed, what is not."""

import gzip
from datetime import timedelta

import pytest
from weather_service import FIRST, HOURS, NOW, UNITS, WeatherService, weather

from evenwater.delivery.send import weather as sending
from evenwater.delivery.send.weather import NoWeather, Told, ask_weather

HOUR = timedelta(hours=1)


async def ask(service: WeatherService) -> list[Told]:
    return await ask_weather(service.url, 50.9479, -4.3517, NOW)


async def failure(service: WeatherService) -> str:
    with pytest.raises(NoWeather) as caught:
        await ask(service)
    return str(caught.value)


async def test_it_asks_for_a_place_no_finer_than_a_tenth_of_a_degree(service):
    await ask(service)
    assert service.asked == [
        {
            "latitude": "50.9",
            "longitude": "-4.4",
            "hourly": ",".join(name for name in UNITS if name != "time"),
            "wind_speed_unit": "ms",
            "timezone": "UTC",
            "timeformat": "unixtime",
            "past_days": "2",
            "forecast_days": "4",
        }
    ]


async def test_hours_until_now_have_been_and_the_rest_is_forecast(service):
    air = [one for one in await ask(service) if one.series == "air_c"]
    assert [(one.at, one.value) for one in air[:2]] == [(FIRST, 0.0), (FIRST + HOUR, 1.0)]
    assert len(air) == HOURS
    assert [one.at for one in air if not one.is_forecast][-1] == NOW.replace(minute=0)
    assert next(one.at for one in air if one.is_forecast) == NOW.replace(minute=0) + HOUR


async def test_what_is_told_of_the_hour_before_stands_at_that_hours_beginning(service):
    told = await ask(service)
    by_series = {series: [one for one in told if one.series == series] for series in {one.series for one in told}}
    for series in ("sun_w_per_m2", "gust_m_per_s", "rain_mm", "snow_cm"):
        first = by_series[series][0]
        assert (first.at, first.value) == (FIRST - HOUR, 0.0)
        # The hour under way has not been yet.
        assert next(one.at for one in by_series[series] if one.is_forecast) == NOW.replace(minute=0)
    for series in ("air_c", "wind_m_per_s", "humidity_fraction", "cloud_fraction"):
        assert by_series[series][0].at == FIRST
    assert by_series["humidity_fraction"][50].value == by_series["cloud_fraction"][50].value == 0.5


async def test_nulls_and_impossible_values_are_left_out(service):
    service.tells(
        temperature_2m=[None, -999.0, *(5.0 for _ in range(HOURS - 2))],
        cloud_cover=[101.0, *(None for _ in range(HOURS - 1))],
    )
    told = await ask(service)
    assert sum(one.series == "air_c" for one in told) == HOURS - 2
    assert not any(one.series == "cloud_fraction" for one in told)


async def test_a_variable_the_service_does_not_know_is_missed_by_nobody(service):
    service.tells(snowfall=None, wind_gusts_10m=None)
    series = {one.series for one in await ask(service)}
    assert {"air_c", "wind_m_per_s"} <= series
    assert not {"snow_cm", "gust_m_per_s"} & series


@pytest.mark.parametrize(
    ("answer", "said"),
    [
        ("not an object", "cannot be read"),
        ({"error": True, "reason": "no"}, "cannot be read"),
        (weather(temperature_2m=None), "cannot be read"),
        (weather(time=None), "cannot be read"),
        (weather(time=[]), "cannot be read"),
        (weather(temperature_2m=["warm"] * HOURS), "cannot be read"),
        (weather(temperature_2m=[5.0] * 500), "cannot be read"),
        (weather(temperature_2m=[5.0] * (HOURS - 1)), "144 hours, but 143 values of temperature_2m"),
        (weather(snowfall=[0.0] * (HOURS + 1)), "144 hours, but 145 values of snowfall"),
        (weather(time=[1_700_000_000 + 3600 * hour for hour in range(HOURS)]), "do not follow each other"),
        (weather(time=[1_699_999_200 + 3600 * hour for hour in range(HOURS)]), "other days"),
        (weather(time=[1_700_002_800] * HOURS), "do not follow each other"),
        (weather(time=[10**15] * HOURS), "do not follow each other"),
        (weather(temperature_2m=[None] * HOURS), "for 0 hours ahead"),
        (weather(temperature_2m=[*(5.0 for _ in range(70)), *(None for _ in range(74))]), "for 5 hours ahead"),
        (weather() | {"hourly_units": UNITS | {"wind_speed_10m": "km/h"}}, "wind_speed_10m in another unit than m/s"),
        (weather() | {"hourly_units": UNITS | {"temperature_2m": "°F"}}, "temperature_2m in another unit than °C"),
        (weather() | {"hourly_units": {}}, "temperature_2m in another unit than °C"),
    ],
)
async def test_what_cannot_be_used_is_refused_in_a_plain_sentence(service, answer, said):
    service.tells(answer)
    assert said in await failure(service)


@pytest.mark.parametrize("body", [b"", b"<html>busy</html>", b"{", b"\xff\xfe", b"[" * 100_000, b"null"])
async def test_what_is_no_answer_at_all_is_refused(service, body):
    service.body = body
    assert await failure(service) == "what the weather service sent cannot be read"


@pytest.mark.parametrize(
    ("status", "said"),
    [
        (429, "the weather service has been asked too often (429)"),
        (500, "the weather service answered with an error (500)"),
        (400, "the weather service answered with an error (400)"),
        (302, "the weather service answered with an error (302)"),
        (204, "the weather service answered with an error (204)"),
    ],
)
async def test_an_answer_other_than_yes_says_which(service, status, said):
    service.status, service.headers, service.body = status, "Location: /elsewhere\r\n", b""
    assert await failure(service) == said
    assert len(service.asked) == 1


async def test_who_is_slow_is_not_waited_for(service, monkeypatch):
    monkeypatch.setattr(sending, "TIME_LIMIT_S", 0.2)
    service.pause_s = 5.0
    assert "did not answer within" in await failure(service)


async def test_what_is_too_large_is_not_read_to_its_end(service):
    service.body = b" " * 30_000_000
    assert await failure(service) == "the weather service sent more than 1 MB"


async def test_a_packed_answer_is_not_unpacked(service):
    service.headers, service.body = "Content-Encoding: gzip\r\n", gzip.compress(b" " * 30_000_000)
    assert "packs its answer" in await failure(service)


async def test_an_answer_cut_short_is_none(service):
    service.headers = "Content-Length: 999999\r\n"
    assert "cannot be reached" in await failure(service)


@pytest.mark.parametrize(
    "url", ["http://127.0.0.1:1/v1", "http://no such host/", "ftp://127.0.0.1/", "", "http://:99999/"]
)
async def test_a_service_that_is_not_there_is_told_as_such(url):
    with pytest.raises(NoWeather, match="the weather service cannot be reached"):
        await ask_weather(url, 50.9, 4.4, NOW)
