"""The season report and the year on a page over the wire: one document, keepers' alone, nothing private unasked."""

import asyncio
import hashlib
import re
from datetime import UTC, datetime, timedelta

import pytest
from pictures import jpeg, picture

from evenwater.storage.samples import Sample, keep_samples
from evenwater.web.headers import CONTENT_POLICY

START = datetime(2026, 11, 3, 16, 30, tzinfo=UTC)
SEASON = "/season-report?pond=main&first=2026-04-01&last=2026-09-30"
PHOTO = jpeg(picture(640, 480))
SUM = hashlib.sha256(PHOTO).hexdigest()


def on(day: str, hour: int = 12) -> datetime:
    return datetime.fromisoformat(f"{day}T{hour:02d}:00:00+00:00")


@pytest.fixture
async def pond(phone):
    """A pond of two summers: warmth and tests every week, a fish with a photo, a note, a place."""
    settings = {"name": "The long pond", "zone": "Europe/Berlin", "latitude": 52.12, "longitude": 11.63}
    long_ago = START - timedelta(days=900)
    entries = [
        phone.entry("set", long_ago, target="pond", field=field, value=value) for field, value in settings.items()
    ]
    entries.append(phone.entry("set", long_ago, target="fish/yuki", field="name", value="Yuki"))
    for weeks in range(100):
        at = START - timedelta(weeks=weeks)
        warm = 12 + 0.1 * (weeks % 50)
        entries.append(phone.entry("reading", at, quantity="temperature_c", value=warm))
        entries.append(phone.entry("reading", at, quantity="kh_dkh", value=5.0, step=0.5))
    for day, cm in (("2025-09-20", 46), ("2026-04-20", 47), ("2026-09-20", 51)):
        photos = [SUM] if day.startswith("2026-09") else []
        entries.append(
            phone.entry("fish_measure", on(day), fish="yuki", length_cm=cm, length_is="total", photos=photos)
        )
    entries.append(phone.entry("note", on("2026-06-01"), text="Jo of number 7 came by"))
    tick = {"standing_job": "net", "due_on": "2026-06-02", "slot": "day"}
    entries.append(phone.entry("tick", on("2026-06-02"), **tick))
    await phone.sync(*entries)
    answer = await phone.client.put(f"/api/photos/{SUM}", content=PHOTO, headers={"Content-Type": "image/jpeg"})
    assert answer.status_code == 200
    return phone


async def page(phone, path: str = SEASON) -> str:
    answer = await phone.client.get(path)
    assert answer.status_code == 200, answer.text
    return answer.text.replace("\N{NO-BREAK SPACE}", " ")


async def test_it_tells_this_year_against_last(pond):
    told = await page(pond)
    assert "Season report, 1 April to 30 September 2026" in told
    assert "Known on 26 of 183 days" in told
    assert re.search(r"\+5\.0 ± \d\.\d cm since 20 Sep 2025", told)
    assert "data:image/jpeg;base64," in told and "Yuki, 20 Sep 2026" in told


async def test_what_is_private_is_in_it_only_when_it_was_chosen(pond):
    plain = await page(pond)
    assert not any(word in plain for word in ("Marit", "Jo of", "Berlin", "52.12", "11.63", pond.person, pond.device))
    told = await page(pond, f"{SEASON}&people=true&notes=true&place=true")
    assert all(word in told for word in ("Marit", "Jo of number 7", "Europe/Berlin"))
    assert not any(word in told for word in ("52.12", "11.63", pond.person, pond.device))


async def test_only_the_parts_asked_for_are_in_it(pond):
    told = await page(pond, f"{SEASON}&parts=water,ring&title=Our%20summer")
    assert "<h1>Our summer</h1>" in told and "Water tests" in told and "<svg" in told
    assert "Yuki" not in told and "Photos" not in told


async def test_its_policy_lets_nothing_in_but_its_own_style_and_pictures(pond):
    answer = await pond.client.get(SEASON)
    assert answer.headers["content-security-policy"].startswith(CONTENT_POLICY + " data:; style-src 'sha256-")
    assert answer.headers["cache-control"] == "no-store"
    assert "content-disposition" not in answer.headers


async def test_as_a_file_it_has_a_name_and_leads_nowhere(pond):
    answer = await pond.client.get(f"{SEASON}&file=true")
    assert answer.headers["content-disposition"] == 'attachment; filename="season-2026-04-01-to-2026-09-30.html"'
    assert "<nav>" not in answer.text and "href" not in answer.text
    shown = await page(pond)
    assert "&amp;file=true" in shown


async def test_the_year_on_a_page_is_the_ring_with_what_happened(pond):
    told = await page(pond, "/year-ring?pond=main&year=2026")
    assert "<svg" in told and "1 fish measured" in told
    assert "1 January to 3 November 2026" in told


async def test_the_year_tells_changes_in_the_keepers_words_when_that_was_chosen(pond):
    await pond.sync(pond.entry("change", on("2026-05-03"), text="Jo of number 7 moved the valve"))
    plain, chosen = [await page(pond, f"/year-ring?pond=main&year=2026{more}") for more in ("", "&changes=true")]
    assert "Jo of" not in plain and "Jo of number 7 moved the valve" in chosen


async def test_a_photo_whose_file_is_spoilt_is_spoken_of_and_the_rest_stands(pond, database):
    whole = database.path.parent / "photos" / SUM[:2] / f"{SUM}.jpg"
    whole.write_bytes(b"a worn disk")
    told = await page(pond)
    assert "1 photo not at home, so not shown." in told and "Water tests" in told


async def test_photos_to_choose_from_are_those_that_are_here(pond):
    lacking = pond.entry("note", on("2026-07-01"), text="Lilies", photos=["b" * 64])
    await pond.sync(lacking)
    answer = await pond.client.get("/api/season-report/photos?pond=main&first=2026-04-01&last=2026-09-30")
    assert answer.json() == [{"sum": SUM, "on": "2026-09-20", "fish": "yuki", "name": "Yuki"}]


async def test_a_heaters_counter_is_read_by_hand_and_by_a_logger_alike(pond, database):
    await pond.sync(pond.entry("set", on("2025-01-01"), target="pond", field="heater", value={"power_w": 3000}))
    assert "its counter was not read" in await page(pond)
    counter = [(on("2026-03-25") + timedelta(days=days), 1000.0 + 10 * days) for days in range(0, 200, 10)]
    by_hand = [pond.entry("reading", at, quantity="heater_meter_kwh", point="heater", value=kwh) for at, kwh in counter]
    await pond.sync(*by_hand[:4], *by_hand[10:])
    await keep_samples(database, [Sample("main/heater_kwh", at, kwh) for at, kwh in counter[4:10]])
    told = await page(pond)
    assert "1,830 kWh" in told and "its counter was not read" not in told


@pytest.mark.parametrize(
    ("asked", "status", "where"),
    [
        ("/season-report?pond=main&first=2026-09-30&last=2026-04-01", 400, "last"),
        ("/season-report?pond=main&first=2026-12-01&last=2026-12-31", 400, "first"),
        ("/season-report?pond=main&first=2024-01-01&last=2026-04-01", 400, "last"),
        ("/season-report?pond=main&first=summer&last=2026-04-01", 400, "first"),
        ("/season-report?pond=none&first=2026-04-01&last=2026-09-30", 404, "pond"),
        (f"{SEASON}&parts=weather", 400, "parts"),
        (f"{SEASON}&parts=", 400, "parts"),
        (f"{SEASON}&title={'a' * 81}", 400, "title"),
        ("/year-ring?pond=main&year=1900", 400, "year"),
        ("/year-ring?pond=main&year=2027", 400, "first"),
    ],
)
async def test_what_cannot_be_says_what_would_be_right(pond, asked, status, where):
    answer = await pond.client.get(asked)
    assert answer.status_code == status
    assert answer.json()["where"] == where and answer.json()["right"]


async def test_a_browser_is_told_in_words(pond):
    browser = {"Accept": "text/html,application/xhtml+xml,*/*;q=0.8"}
    wrong = await pond.client.get("/season-report?pond=main&first=2026-09-30&last=2026-04-01", headers=browser)
    assert (wrong.status_code, wrong.headers["content-type"]) == (400, "text/html; charset=utf-8")
    assert "ends on 1 April 2026, before it begins" in wrong.text and "30 September 2026 or later" in wrong.text
    pond.client.cookies.clear()
    nobody = await pond.client.get(SEASON, headers=browser)
    assert nobody.status_code == 401
    assert "nobody is signed in" in nobody.text and "long pond" not in nobody.text


async def test_a_pond_of_today_has_a_report_that_says_what_is_not_known(phone):
    await phone.sync(phone.entry("set", START, target="pond", field="zone", value="UTC"))
    told = await page(phone)
    for said in ("there is no ring", "was not tested", "No fish of the register", "No food was recorded"):
        assert said in told


async def test_words_in_the_address_run_nowhere(pond):
    told = await page(pond, f"{SEASON}&title=%3Cscript%3Ealert(1)%3C%2Fscript%3E&x=%22%3E%3Cscript%3E")
    assert "<script" not in told


async def test_two_reports_at_once_say_the_same(pond):
    answers = await asyncio.gather(pond.client.get(SEASON), pond.client.get(SEASON), pond.client.get("/api/devices"))
    assert [one.status_code for one in answers] == [200, 200, 200]
    assert answers[0].text == answers[1].text
