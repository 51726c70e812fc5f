"""A person brings in a table of samples: a memory card, a supplier's half-hourly prices."""

from datetime import UTC, datetime, timedelta

import pytest
from kept_log import settle_pond

from evenwater.storage.samples import hourly_of_pond

START = datetime(2026, 11, 3, tzinfo=UTC)
DAY = timedelta(days=1)


@pytest.fixture
async def database(household):
    for first, pond in ((100, "main"), (200, "other")):
        await settle_pond(household.database, pond, first, zone="Europe/Berlin")
    return household.database


async def post(keeper, text: str, pond: str = "main"):
    return await keeper.post(
        f"/api/samples/csv?pond={pond}", content=text.encode(), headers={"Content-Type": "text/csv"}
    )


async def test_prices_of_days_to_come_are_kept_by_the_ponds_own_clock(keeper, database):
    rows = [f"2026-11-04 {half // 2:02}:{half % 2 * 30:02},{half / 100}" for half in range(48)]
    told = (await post(keeper, "at,price_per_kwh\n" + "\n".join(rows), "other")).json()
    assert told == {"accepted": 48, "already": 0, "refused_count": 0, "refused": []}
    hours = (await hourly_of_pond(database, "other", START, START + 2 * DAY))["price_per_kwh"]
    assert hours[0] == (datetime(2026, 11, 3, 23, tzinfo=UTC), 0.005)
    assert len(hours) == 24


async def test_the_same_file_twice_adds_nothing_and_wrong_lines_are_named(keeper, database):
    text = "at;air_c\n2026-11-03 10:00;6,1\n2026-11-03 11:00;99\n2026-11-03 12:00;warm\n"
    first, second = [(await post(keeper, text)).json() for _ in range(2)]
    assert (first["accepted"], first["refused_count"]) == (1, 2)
    assert [(one["index"], one["right"]) for one in first["refused"]] == [
        (3, "-60 to 60 °C"),
        (4, "a number like 14.2, without its unit"),
    ]
    assert (second["accepted"], second["already"], second["refused"]) == (0, 1, first["refused"])


async def test_of_many_wrong_lines_the_first_are_named_and_all_are_counted(keeper, database):
    rows = "\n".join(f"2026-11-03 10:{n // 60:02}:{n % 60:02},99" for n in range(700))
    told = (await post(keeper, f"at,air_c\n{rows}")).json()
    assert (told["refused_count"], len(told["refused"])) == (700, 500)


@pytest.mark.parametrize(
    ("text", "pond", "code"),
    [
        ("air_c\n6.1", "main", "missing"),
        ("at,pond_temp\n2026-11-03 10:00,6.1", "main", "not_one_of"),
        ("", "main", "not_readable"),
        ("at,air_c\n2026-11-03 10:00,6.1", "nowhere", "not_one_of"),
    ],
)
async def test_a_file_that_is_no_table_of_samples_is_refused_whole(keeper, database, text, pond, code):
    answer = await post(keeper, text, pond)
    assert (answer.status_code, answer.json()["code"]) == (400, code)


async def test_a_year_of_half_hours_is_taken_in_one_file(keeper, database):
    start = datetime(2025, 11, 1, tzinfo=UTC)
    rows = "\n".join(f"{(start + n * timedelta(minutes=30)).isoformat()},{n % 50 / 100}" for n in range(17_520))
    assert (await post(keeper, f"at,price_per_kwh\n{rows}")).json()["accepted"] == 17_520
