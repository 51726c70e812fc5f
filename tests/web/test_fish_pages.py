"""The Fish pages over the wire: worked out of years, sent once, made anew when a fish was measured."""

from datetime import UTC, datetime, timedelta

import pytest

START = datetime(2026, 11, 3, 16, 30, tzinfo=UTC)


def set_fish(phone, fish, **fields):
    at = START - timedelta(days=900)
    return [phone.entry("set", at, target=f"fish/{fish}", field=field, value=value) for field, value in fields.items()]


def measure(phone, fish, days_ago, cm, **more):
    at = START - timedelta(days=days_ago)
    return phone.entry("fish_measure", at, fish=fish, length_cm=cm, length_is="total", **more)


async def settled(phone, *entries):
    """The plan when all pages rest on these entries."""
    plan = (await phone.sync(*entries, want_plan=True))["plan"]
    for _ in range(40):
        if not plan["follows"]:
            return plan
        plan = (await phone.sync(want_plan=True))["plan"]
    raise AssertionError("the pages never came")


@pytest.fixture
async def pond(phone):
    """A household with one fish, measured over two years, in water read every week."""
    water = [
        phone.entry("reading", START - timedelta(days=days), quantity="temperature_c", value=18.0)
        for days in range(0, 740, 7)
    ]
    lengths = [measure(phone, "asagi", days, cm) for days, cm in ((730, 40), (520, 44), (330, 47.5), (60, 51))]
    zone = phone.entry("set", START - timedelta(days=900), target="pond", field="zone", value="UTC")
    await phone.sync(zone, *set_fish(phone, "asagi", name="Asagi"), *lengths, *water)
    return phone


async def test_growth_over_years_is_told_though_a_plan_remembers_weeks(pond):
    (page,) = (await settled(pond))["fish"]
    (asagi,) = page["fish"]
    assert [one["length_cm"] for one in asagi["measures"]] == [51, 47.5, 44, 40]
    assert asagi["growth"][0]["degree_days"] == pytest.approx(270 * 8, rel=0.02)
    assert asagi["curve"]["l_inf_cm"]["low"] > 51


async def test_a_page_is_sent_once_and_again_when_a_fish_was_measured(pond):
    (page,) = (await settled(pond))["fish"]
    tags = {"fish/main": page["tag"]}
    assert (await pond.sync(want_plan=True, plan_tags=tags))["plan"]["fish"] == []
    told = measure(pond, "asagi", 1, 5.2)
    await settled(pond, told)
    (after,) = (await pond.sync(want_plan=True, plan_tags=tags))["plan"]["fish"]
    assert "was it 52 cm?" in after["fish"][0]["measures"][0]["doubts"][0]
    await settled(pond, pond.entry("take_back", START, entry=told["id"]))
    (again,) = (await pond.sync(want_plan=True))["plan"]["fish"]
    assert again["tag"] == page["tag"]


async def test_a_fish_of_two_ponds_is_on_one_page(pond):
    zone = pond.entry("set", START - timedelta(days=900), pond="hall", target="pond", field="zone", value="UTC")
    ways = {"fish": ["asagi"], "count": 1, "from_pond": "main", "to_pond": "hall", "how": "moved"}
    plan = await settled(pond, zone, pond.entry("fish_move", START - timedelta(hours=2), **ways))
    assert {one["pond"]: [fish["id"] for fish in one["fish"]] for one in plan["fish"]} == {
        "main": [],
        "hall": ["asagi"],
    }


async def test_measured_twice_without_signal_both_phones_entries_stand(pond):
    session = "00000000-0000-0000-0000-0000000000aa"
    twice = [measure(pond, "asagi", 0, cm, session=session) for cm in (52, 53)]
    (page,) = (await settled(pond, *twice))["fish"]
    told = page["fish"][0]["measures"][:2]
    assert [(one["length_cm"], one["counts"]) for one in told] == [(53, True), (52, False)]
