"""Entries as a keeper's phone writes them: about fourteen a day, of the kinds and sizes a round makes."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from itertools import islice
from uuid import UUID
from zoneinfo import ZoneInfo

ZONE = ZoneInfo("Europe/London")
PER_DAY = 14

Fields = dict[str, object]


def entries(count: int, end: datetime, person: str, device: str, first_number: int = 0) -> list[Fields]:
    """`count` entries, oldest first, the last ones on the day before `end`; `first_number` keeps ids apart."""
    first_day = (end - timedelta(days=count // PER_DAY + 2)).astimezone(ZONE).replace(hour=0, minute=0, second=0)
    facts = islice(_facts(first_day), count)
    return [
        entry(at, kind, fields, person, device, first_number + number)
        for number, (at, kind, fields) in enumerate(facts)
    ]


def _facts(day: datetime) -> Iterator[tuple[datetime, str, Fields]]:
    while True:
        number = day.toordinal()
        for minute, (kind, fields) in enumerate(_day(number, day.date().isoformat())):
            yield (
                day + timedelta(hours=8 if minute < 4 else 17, minutes=2 * minute, milliseconds=number % 1000),
                kind,
                fields,
            )
        day += timedelta(days=1)


def _day(number: int, date: str) -> list[tuple[str, Fields]]:
    kh = 5.0 + (number % 5) * 0.5
    tick: Fields = {"due_on": date, "slot": "dusk"}
    return [
        ("tick", {"standing_job": "cover", "due_on": date, "slot": "off"}),
        ("look", {"all_well": True, "wrong": []}),
        ("reading", {"quantity": "temperature_c", "value": 15.0 + number % 30 / 10, "point": "pond"}),
        ("tick", {"standing_job": "agitate", "due_on": date, "slot": "midday"}),
        ("reading", {"quantity": "kh_dkh", "value": kh, "point": "pond", "step": 0.5}),
        ("reading", {"quantity": "ph", "value": 7.8, "point": "pond"}),
        ("reading", {"quantity": "tan_mg_n_per_l", "value": 0.05, "point": "pond"}),
        (
            "tick",
            {**tick, "standing_job": "buffer", "amount_g": 13.5 * (number % 7 + 1), "substance": "sodium_bicarbonate"},
        ),
        ("tick", {**tick, "standing_job": "heater", "setting_c": 18.5}),
        ("tick", {**tick, "standing_job": "cover", "slot": "on"}),
        ("reading", {"quantity": "kh_dkh", "value": 1.0, "point": "mains"}),
        ("not_done", {**tick, "standing_job": "agitate", "reason": "storm"}),
        ("note", {"text": "Leaves over the filter chamber; the small one came up to feed."}),
        ("dose", {"substance": "sodium_bicarbonate", "amount_g": 27.0}),
    ]


def busy_days(first_day: datetime, days: int, person: str, device: str) -> Iterator[Fields]:
    """A busy pond: 41 entries a day, the fourteen above and what a keeper with many standing jobs ticks and reads."""
    number = 0
    for _ in range(days):
        day = first_day.astimezone(ZONE).replace(hour=0, minute=0, second=0)
        of_day = [*_day(day.toordinal(), day.date().isoformat()), *_more(day.toordinal(), day.date().isoformat())]
        for minute, (kind, fields) in enumerate(of_day):
            at = day + timedelta(hours=7, minutes=15 * minute, milliseconds=number % 1000)
            yield entry(at, kind, fields, person, device, number)
            number += 1
        first_day += timedelta(days=1)


_MORE_JOBS = (
    *("rinse-drum", "look-fish", "feed-morning", "feed-evening", "clear-leaves", "top-up", "air-stones", "flow-glance"),
    *("test-set", "prefilter", "lamp", "net", "level", "doors", "meter", "grass", "overflow", "probe"),
)


def standing_jobs(first_day: datetime, person: str, device: str) -> Iterator[Fields]:
    """The jobs those ticks are of, set on the first day; one is learned, others have a season, a rule, a condition."""
    of_job: dict[str, dict[str, object]] = {
        "rinse-drum": {"recur": {"every": "after_done", "days": 3, "learned": True}, "service": "drum_rinsed"},
        "clear-leaves": {"season": {"from": "09-15", "to": "12-15"}},
        "grass": {"recur": {"every": "rule", "rule": "FREQ=WEEKLY;BYDAY=SA"}, "starts_on": "2016-01-02"},
        "top-up": {"only_if": [{"what": "reading", "quantity": "temperature_c", "side": "above", "value": 8}]},
    }
    number = 2**41
    for order, job in enumerate(_MORE_JOBS):
        fields = {"text": job.replace("-", " ").capitalize(), "order": 200 + order, **of_job.get(job, {})}
        for field, value in fields.items():
            told: Fields = {"target": f"job/{job}", "field": field, "value": value}
            yield entry(first_day, "set", told, person, device, number)
            number += 1


def fish_years(first_day: datetime, days: int, person: str, device: str) -> Iterator[Fields]:
    """Thirty fish of a register, each measured twice a year, and something seen on one of them every week."""
    number = 2**42
    for fish in range(30):
        for field, value in {"name": f"Fish {fish}", "variety": "Kohaku", "born_year": 2014 + fish % 6}.items():
            told: Fields = {"target": f"fish/fish-{fish}", "field": field, "value": value}
            yield entry(first_day, "set", told, person, device, number)
            number += 1
        for session in range(days // 183):
            at = first_day + timedelta(days=183 * session + 90, minutes=4 * fish)
            grown = 15 + fish % 10 + 50 * (1 - 0.85**session) + (fish * 7 + session * 13) % 10 / 10
            weighed: Fields = {"weight_g": 0.022 * grown**2.95} if fish % 3 == 0 else {}
            told = {"fish": f"fish-{fish}", "length_cm": round(grown, 1), "length_is": "total", **weighed}
            yield entry(at, "fish_measure", told, person, device, number)
            number += 1
    for week in range(days // 7):
        told = {"fish": [f"fish-{week % 30}"], "signs": ["flashing" if week % 3 else "jumping"]}
        yield entry(first_day + timedelta(days=7 * week), "fish_seen", told, person, device, number)
        number += 1


def _more(number: int, date: str) -> list[tuple[str, Fields]]:
    ticks: list[tuple[str, Fields]] = [
        ("tick", {"standing_job": job, "due_on": date, "slot": "day"}) for job in _MORE_JOBS
    ]
    readings: list[tuple[str, Fields]] = [
        ("reading", {"quantity": quantity, "value": value + number % 4 * step, "point": point})
        for quantity, value, step, point in (
            ("nitrite_n_mg_per_l", 0.01, 0.005, "pond"),
            ("nitrate_n_mg_per_l", 4.0, 1.0, "pond"),
            ("gh_dgh", 5.0, 0.5, "pond"),
            ("total_chlorine_ug_per_l", 2.0, 2.0, "after_carbon"),
            ("ec25_us_per_cm", 300.0, 5.0, "pond"),
            ("ec25_us_per_cm", 18.0, 1.0, "after_membrane"),
            ("oxygen_mg_per_l", 8.6, 0.2, "pond"),
        )
    ]
    return [*ticks, *readings, ("feed", {"feed_g": 90.0}), ("look", {"all_well": True, "wrong": []})]


def entry(at: datetime, kind: str, fields: Fields, person: str, device: str, number: int) -> Fields:
    """The envelope of one entry; its id is a UUID of version 7 by the moment, as the device makes it."""
    unix_ms = int(at.timestamp() * 1000)
    return {
        "id": str(UUID(int=unix_ms << 80 | 7 << 76 | 2 << 62 | number)),
        "v": 1,
        "pond": "main",
        "kind": kind,
        "happened_at": at.isoformat(timespec="milliseconds"),
        "local_date": at.date().isoformat(),
        "zone": ZONE.key,
        "recorded_at": at.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z"),
        "device": device,
        "author": person,
        **fields,
    }
