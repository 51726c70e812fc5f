"""The plan over the wire: counted, sent once, kept as it was shown."""

from datetime import UTC, datetime, timedelta

import pytest

from evenwater.domain.rounds.standing_jobs import STARTER, as_settings
from evenwater.storage.database import Database
from evenwater.storage.no_backup import keep_no_backup
from evenwater.web.plans import page_maker

START = datetime(2026, 11, 3, 16, 30, tzinfo=UTC)
SOME_WEEKS_AGO = START - timedelta(days=30)


@pytest.fixture
async def pond(phone):
    """A phone whose household has a pond with the starter jobs, measured this afternoon."""
    settings = {"volume_l": 20_000, "capful_g": 27, "zone": "UTC"}
    entries = [phone.entry("set", SOME_WEEKS_AGO, target="pond", field=f, value=v) for f, v in settings.items()]
    for job in STARTER:
        for one in as_settings(job):
            entries.append(phone.entry("set", SOME_WEEKS_AGO, target=one.target, field=one.field, value=one.value))
    entries.append(phone.entry("reading", START - timedelta(hours=2), quantity="kh_dkh", value=4.5, step=0.5))
    told = await phone.sync(*entries)
    assert {verdict["verdict"] for verdict in told["verdicts"]} == {"accepted"}
    return phone


def tags(plan) -> dict[str, str]:
    return {day["date"]: day["tag"] for day in plan["days"]}


async def test_a_first_call_gets_two_weeks(pond):
    plan = (await pond.sync(want_plan=True))["plan"]
    assert len(plan["days"]) == len(plan["dates"]) == 14
    assert plan["log_seq"] == pond.cursor
    buffer = next(job for job in plan["days"][0]["jobs"] if job["standing_job"] == "buffer")
    assert buffer["amount_g"] > 0
    assert buffer["chart"]["rows"][0][0] == 0


async def test_a_second_call_gets_only_what_changed(pond):
    plan = (await pond.sync(want_plan=True))["plan"]
    again = (await pond.sync(want_plan=True, plan_tags=tags(plan)))["plan"]
    assert again["days"] == []
    cover = next(job for job in plan["days"][0]["jobs"] if job["standing_job"] == "cover")
    tick = pond.entry("tick", START, standing_job="cover", due_on=cover["due_on"], slot=cover["slot"])
    after = (await pond.sync(tick, want_plan=True, plan_tags=tags(plan)))["plan"]
    assert after["days"] == []  # whether it is done is for whoever looks: the plan is the same


async def test_the_year_on_offer_is_sent_once(pond):
    plan = (await pond.sync(want_plan=True))["plan"]
    assert plan["starter_groups"]
    again = (await pond.sync(want_plan=True, plan_tags={"starter": plan["starter_tag"]}))["plan"]
    assert again["starter_groups"] == []
    assert again["starter_tag"] == plan["starter_tag"]


async def test_the_days_gone_by_come_back_as_they_were_shown(pond, clock):
    plan = (await pond.sync(want_plan=True))["plan"]
    clock.now = START + timedelta(days=2)
    after = (await pond.sync(want_plan=True, now=clock.now))["plan"]
    (gone,) = after["back"]
    assert (gone["date"], after["days"][0]["date"]) == ("2026-11-03", "2026-11-05")
    assert [job["id"] for job in gone["jobs"]] == [job["id"] for job in plan["days"][0]["jobs"]]


async def test_what_is_too_old_for_any_plan_has_the_log_read_anew_once(pond):
    plan = (await pond.sync(want_plan=True))["plan"]
    for days_ago in (200, 210, 220, 230):  # the last of them is not even among a job's last few ticks
        at = START - timedelta(days=days_ago)
        await pond.sync(pond.entry("tick", at, standing_job="agitate", due_on=str(at.date()), slot="midday"))
    after = (await pond.sync(want_plan=True))["plan"]
    again = (await pond.sync(want_plan=True))["plan"]
    assert after["follows"] is again["follows"] is False
    assert again["log_seq"] == after["log_seq"] == plan["log_seq"] + 4


async def test_a_dose_changes_the_days_to_come(pond):
    plan = (await pond.sync(want_plan=True))["plan"]
    dose = pond.entry("dose", START, substance="sodium_bicarbonate", amount_g=500)
    after = (await pond.sync(dose, want_plan=True, plan_tags=tags(plan)))["plan"]
    first = after["days"][0]
    old = next(job for job in plan["days"][0]["jobs"] if job["standing_job"] == "buffer")
    new = next(job for job in first["jobs"] if job["standing_job"] == "buffer")
    assert new["unrounded_g"] < old["unrounded_g"]


async def test_no_plan_is_worked_out_when_none_is_wanted(pond):
    assert (await pond.sync(want_plan=False))["plan"] is None


async def test_today_is_kept_as_it_was_shown_once(pond, database: Database):
    await pond.sync(want_plan=True)
    await pond.sync(want_plan=True)
    rows = list(await database.reader.execute_fetchall("SELECT subject, model_version, log_seq FROM shown"))
    assert [row[0] for row in rows] == ["day/2026-11-03", "trend/main/kh_dkh"]
    assert rows[0][2] == pond.cursor


async def test_the_names_behind_the_ids_come_along(pond):
    plan = (await pond.sync(want_plan=True))["plan"]
    assert plan["person_names"] == {pond.person: "Marit"}


def of_pond(phone, pond, field, value, **more):
    return phone.entry("set", SOME_WEEKS_AGO, pond=pond, target="pond", field=field, value=value, **more)


async def test_a_pond_closed_and_opened_again_leaves_and_comes_back_at_once(pond):
    await pond.sync(of_pond(pond, "tank", "volume_l", 1000), want_plan=True)
    for closed, ponds in ((True, ["main"]), (False, ["main", "tank"])):
        told = await pond.sync(of_pond(pond, "tank", "closed", closed), want_plan=True)
        assert [one["id"] for one in told["plan"]["ponds"]] == ponds
        assert [one["pond"] for one in told["plan"]["book"]] == ponds


async def test_a_pond_opened_again_on_a_day_that_has_begun_there_and_not_in_utc_has_its_round(phone):
    zone = [of_pond(phone, pond, "zone", "Pacific/Auckland") for pond in ("main", "tank")]
    await phone.sync(*zone, of_pond(phone, "tank", "closed", True), want_plan=True)
    opened = of_pond(phone, "tank", "closed", False, effective_from="2026-11-04")
    plan = (await phone.sync(opened, want_plan=True))["plan"]
    assert plan["dates"][0] == "2026-11-04"
    assert [one["id"] for one in plan["ponds"]] == ["main", "tank"]


async def test_what_is_written_down_is_confirmed_though_the_plan_cannot_be_made(pond, database: Database, caplog):
    async with database.transaction() as connection:
        await connection.execute(
            "INSERT INTO shown (shown_at, subject, model_version, log_seq, content)"
            " VALUES ('2026-11-02T18:00:00.000Z', 'day/2026-11-02', 'x', 1, '{\"date\":')"
        )
    told = await pond.sync(pond.entry("note", START, text="said"), want_plan=True)
    assert ([one["verdict"] for one in told["verdicts"]], told["plan"]) == (["accepted"], None)
    assert "The plan could not be made" in caplog.text


async def test_a_change_of_long_ago_is_still_judged_by_the_readings_about_it(pond):
    made = START - timedelta(days=100)
    change = pond.entry("change", made, text="Another bed", quantities=["nitrate_n_mg_per_l"])
    days = [(made + timedelta(days=day, hours=1), 8.0 if day < 0 else 4.0) for day in range(-20, 20)]
    readings = [pond.entry("reading", at, quantity="nitrate_n_mg_per_l", value=level) for at, level in days]
    wrong = pond.entry("reading", made - timedelta(days=30), quantity="nitrate_n_mg_per_l", value=30)
    await pond.sync(change, *readings, wrong, pond.entry("take_back", START, entry=wrong["id"]))
    plan = (await pond.sync(want_plan=True))["plan"]
    (line,) = plan["book"][0]["effects"][0]["lines"]
    assert line["found"] == "lower"
    assert line["workings"]["inputs"][0]["value"] == 20


async def test_a_book_that_cannot_be_worked_out_costs_nobody_the_round(pond, monkeypatch):
    def odd(*_: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(page_maker, "book_of", odd)
    plan = (await pond.sync(want_plan=True))["plan"]
    assert plan["days"][0]["jobs"]
    assert [(book["pond"], book["effects"]) for book in plan["book"]] == [("main", [])]


async def test_a_daily_backup_that_fails_stands_on_the_round_of_keepers(pond, database):
    await keep_no_backup(database, "the stick is full", START)
    (told,) = [one for one in (await pond.sync(want_plan=True))["plan"]["notices"] if one["what"] == "no_backup"]
    assert told["text"].endswith("the stick is full. It is tried every hour.") and told["people"] == []
