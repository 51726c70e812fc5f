"""POST /api/sync: every entry answered, kept once, handed on."""

from datetime import UTC, datetime, timedelta

from evenwater.storage.database import Database

NOON = datetime(2026, 11, 3, 12, 0, tzinfo=UTC)


def reading(phone, value=5.0, at=NOON, **more):
    return phone.entry("reading", at, quantity="kh_dkh", value=value, **more)


async def test_a_new_entry_is_accepted_and_placed(phone):
    told = await phone.sync(reading(phone))
    (verdict,) = told["verdicts"]
    assert verdict["verdict"] == "accepted"
    assert verdict["seq"] == 1
    assert verdict["placed_on"] == "2026-11-03"
    assert verdict["time_doubtful"] is False
    assert told["cursor"] == 1
    assert told["entries"] == []


async def test_the_same_entry_again_is_already_here(phone, database: Database):
    entry = reading(phone)
    await phone.sync(entry)
    told = await phone.sync(dict(reversed(entry.items())))
    assert [v["verdict"] for v in told["verdicts"]] == ["already_here"]
    (count,) = next(iter(await database.reader.execute_fetchall("SELECT count(*) FROM entry")))
    assert count == 1


async def test_the_same_entry_twice_in_one_call_is_kept_once(phone):
    entry = reading(phone)
    told = await phone.sync(entry, entry)
    assert [v["verdict"] for v in told["verdicts"]] == ["accepted", "already_here"]


async def test_an_id_reused_with_other_content_is_refused_and_the_first_stays(phone):
    entry = reading(phone)
    await phone.sync(entry)
    told = await phone.sync({**entry, "value": 6.0})
    assert told["verdicts"][0]["code"] == "id_reused"
    phone.cursor = 0
    told = await phone.sync()
    assert [one["entry"]["value"] for one in told["entries"]] == [5.0]


async def test_a_bad_entry_never_blocks_the_others(phone):
    good, bad, other = reading(phone), reading(phone, value=400), reading(phone, value=6)
    told = await phone.sync(good, bad, "no entry at all", other)
    assert [v["verdict"] for v in told["verdicts"]] == ["accepted", "refused", "refused", "accepted"]
    refused = told["verdicts"][1]
    assert (refused["id"], refused["code"], refused["where"]) == (bad["id"], "out_of_range", "value")
    assert refused["right"] == "0 to 25 °dKH"
    assert [v.get("seq") for v in told["verdicts"]] == [1, None, None, 2]


async def test_an_entry_of_a_newer_app_is_deferred_and_kept(phone, database: Database):
    newer = {**reading(phone), "v": 2, "more": 1}
    unknown = {**reading(phone), "kind": "photo", "picture": "x"}
    told = await phone.sync(newer, unknown)
    assert [v["verdict"] for v in told["verdicts"]] == ["deferred", "deferred"]
    rows = await database.reader.execute_fetchall("SELECT id FROM deferred_entry ORDER BY id")
    assert sorted(row[0] for row in rows) == sorted([newer["id"], unknown["id"]])


async def test_an_entry_of_somebody_else_is_refused(phone):
    told = await phone.sync({**reading(phone), "author": phone.device}, {**reading(phone), "device": phone.person})
    assert [v["code"] for v in told["verdicts"]] == ["not_sender", "not_sender"]
    assert [v["where"] for v in told["verdicts"]] == ["author", "device"]


async def test_a_browser_whose_storage_was_cleared_goes_on_under_its_new_id(phone):
    phone.device = "0" * 8 + "-0000-4000-8000-" + "1" * 12
    told = await phone.sync(reading(phone))
    assert told["verdicts"][0]["verdict"] == "accepted"
    (device,) = (await phone.client.get("/api/devices")).json()
    assert device["device"] == phone.device


async def test_another_device_gets_what_it_lacks_in_pages(phone, monkeypatch):
    entries = [reading(phone) for _ in range(1203)]
    for start in range(0, len(entries), 400):
        await phone.sync(*entries[start : start + 400])
    phone.cursor, got, calls, more = 0, [], 0, True
    while more:
        told = await phone.sync()
        got += [one["entry"]["id"] for one in told["entries"]]
        more, calls = told["more"], calls + 1
    assert got == [entry["id"] for entry in entries]
    assert calls == 3


async def test_a_device_that_lags_gets_what_others_wrote_before_its_own(phone):
    first = reading(phone)
    await phone.sync(first)
    phone.cursor = 0
    own = reading(phone)
    told = await phone.sync(own)
    assert [one["entry"]["id"] for one in told["entries"]] == [first["id"]]
    assert told["cursor"] == 2


async def test_a_phone_three_hours_fast_is_put_right(phone):
    fast = NOON + timedelta(hours=3)
    told = await phone.sync(reading(phone, at=fast), now=clock_at(3))
    (verdict,) = told["verdicts"]
    assert verdict["placed_at"].startswith("2026-11-03T12:00")
    assert verdict["time_doubtful"] is False


async def test_a_phone_that_woke_in_1970_is_accepted_and_marked(phone):
    told = await phone.sync(reading(phone, at=datetime(1970, 1, 1, 0, 5, tzinfo=UTC)))
    (verdict,) = told["verdicts"]
    assert verdict["verdict"] == "accepted"
    assert verdict["time_doubtful"] is True
    assert verdict["placed_at"].startswith("2026-11-03T16:30")


async def test_a_phone_that_lives_next_year_is_accepted_and_marked(phone):
    told = await phone.sync(reading(phone, at=NOON + timedelta(days=365)))
    assert told["verdicts"][0]["time_doubtful"] is True
    assert told["verdicts"][0]["placed_on"] == "2026-11-03"


async def test_a_setting_nobody_knows_is_refused(phone):
    told = await phone.sync(
        phone.entry("set", NOON, target="pond", field="colour", value="green"),
        phone.entry("set", NOON, target="pond", field="volume_l", value="much"),
        phone.entry("set", NOON, target="pond", field="volume_l", value=20_000),
    )
    assert [v["verdict"] for v in told["verdicts"]] == ["refused", "refused", "accepted"]


async def test_another_epoch_begins_the_log_anew(phone):
    await phone.sync(reading(phone))
    phone.epoch = "another"
    told = await phone.sync()
    assert len(told["entries"]) == 1
    assert told["epoch"] != "another"


async def test_a_device_that_has_seen_more_than_there_is_begins_a_new_epoch(phone):
    told = await phone.sync(reading(phone))
    phone.cursor = told["cursor"] + 1
    again = await phone.sync(reading(phone))
    assert again["epoch"] != told["epoch"]
    assert again["verdicts"][0]["verdict"] == "accepted"
    assert [one["seq"] for one in again["entries"]] == [1]
    assert (await phone.sync())["epoch"] == again["epoch"]


async def test_a_body_that_is_no_json_gets_the_one_shape(phone):
    answer = await phone.client.post("/api/sync", content=b"{", headers={"content-type": "application/json"})
    assert answer.status_code == 400
    assert set(answer.json()) == {"code", "what", "where", "right"}


async def test_a_body_over_the_limit_is_refused(phone):
    answer = await phone.client.post(
        "/api/sync", content=b" " * 1_100_000, headers={"content-type": "application/json"}
    )
    assert answer.status_code == 413
    assert answer.json()["code"] == "too_large"


async def test_an_unknown_parameter_is_refused_by_name(phone):
    answer = await phone.client.post("/api/sync", json={"device": phone.device, "tea": 1})
    assert answer.status_code == 400
    assert set(answer.json()) == {"code", "what", "where", "right"}


def clock_at(hours: float) -> datetime:
    return datetime(2026, 11, 3, 16, 30, tzinfo=UTC) + timedelta(hours=hours)
