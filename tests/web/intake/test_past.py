"""A keeper's own table: looked at, kept once, taken back as a whole; what cannot be read is named."""

import asyncio
import csv
import io
import json
from datetime import timedelta
from pathlib import Path
from typing import Any
from urllib.parse import quote

import httpx
import msgspec
import pytest
from conftest import START, Phone
from pocket_calls import in_thread

from evenwater.commands.check import require_whole
from evenwater.settings import Settings
from evenwater.storage import imports
from evenwater.storage.backup import back_up
from evenwater.storage.progress import unseen
from evenwater.storage.restore import restore, try_backup

MESSY = """My pond;;;;
written by Marit;;;;

Date;KH (°dKH);pH;NO3;Buffer (g);Note
1.10.26;5,5;7,6;20;80;clear
2.10.26;89 mg/l CaCO3;7,5;<5;-;
3.10.26;=B5+1;76;12;80;"rain; wind"
31.10.26;60;7,4;12;;
2.11.26;6,0;7,5;14;40;
2.11.26;6,0;7,5;14;40;
2.11.26;6,5;;;;
4.11.26;6,0;;;;
"""


@pytest.fixture
async def keeper(phone: Phone) -> Phone:
    """Marit, with her pond set up."""
    told = {"zone": "Europe/Berlin", "volume_l": 16_000, "capful_g": 40, "inflow_l_per_day": 400}
    settings = [
        phone.entry("set", START - timedelta(days=60), target="pond", field=field, value=value, effective_from=None)
        for field, value in told.items()
    ]
    await phone.sync(*settings)
    return phone


def messy(text: str = MESSY) -> bytes:
    return text.encode("cp1252")


async def post(keeper: Phone, what: str, body: bytes, **query: Any) -> httpx.Response:
    asked = {"name": "pond.csv", **query}
    if "choices" in asked:
        asked["choices"] = msgspec.json.encode(asked["choices"]).decode()
    query_text = "&".join(f"{key}={quote(str(value))}" for key, value in asked.items())
    return await keeper.client.post(f"/api/past/{what}?{query_text}", content=body)


async def told(keeper: Phone, what: str, body: bytes, **query: Any) -> dict[str, Any]:
    answer = await post(keeper, what, body, **query)
    assert answer.status_code == 200, answer.text
    return answer.json()


async def log(keeper: Phone) -> list[dict[str, Any]]:
    """All a new phone gets."""
    keeper.cursor, keeper.epoch = 0, None
    return [one["entry"] for one in (await keeper.sync())["entries"]]


async def test_a_messy_table_is_understood_before_anything_is_kept(keeper: Phone) -> None:
    shown = await told(keeper, "preview", messy())
    assert (shown["encoding"], shown["delimiter"], shown["header_line"]) == ("cp1252", ";", 4)
    assert (shown["date_order"], shown["date_sure"], shown["zone"]) == ("dmy", True, "Europe/Berlin")
    meanings = [(one["meaning"], one["unit"]) for one in shown["columns"]]
    assert meanings[:3] == [("date", ""), ("kh_dkh", "°dKH"), ("ph", "")]
    assert meanings[3:] == [("nitrate_n_mg_per_l", "mg/L as NO₃"), ("dose_g", "g"), ("note", "")]
    assert [one["sure"] for one in shown["columns"]] == [True, True, True, False, True, True]
    first = [(one["line"], one["label"], one["value"]) for one in shown["first"][:3]]
    assert first == [(5, "KH", 5.5), (5, "pH", 7.6), (5, "Nitrate", pytest.approx(20 / 4.4266, rel=1e-4))]
    assert shown["first"][0]["at"] == "2026-10-01T16:00:00Z"
    assert await kinds(keeper) == {"set"}
    assert (await keeper.client.get("/api/past")).json() == []


async def kinds(keeper: Phone) -> set[str]:
    return {one["kind"] for one in await log(keeper)}


async def test_what_cannot_be_read_is_named_by_line_and_column_with_what_would_be_right(keeper: Phone) -> None:
    shown = await told(keeper, "preview", messy())
    bad = {(one["line"], one["column"]): one for one in shown["bad"]}
    assert shown["bad_count"] == len(bad) == 4
    assert bad[7, "B KH (°dKH)"]["what"] == "a formula, not a number"
    assert bad[7, "C pH"] == {
        "line": 7,
        "column": "C pH",
        "cell": "76",
        "what": "no pH can be 76",
        "right": "3 to 11",
    }
    assert bad[8, "B KH (°dKH)"]["right"] == "0 to 25 °dKH"
    assert bad[12, "A Date"]["right"] == "2026-11-03 or before"
    assert (shown["repeated"], shown["clash_count"]) == (4, 1)
    (clash,) = shown["clashes"]
    assert (clash["line"], clash["label"], clash["one"], clash["other"]) == (11, "KH", 6.0, 6.5)


async def test_the_same_file_twice_adds_nothing_and_a_longer_one_only_what_is_new(keeper: Phone) -> None:
    kept = await told(keeper, "keep", messy())
    shown = await told(keeper, "preview", messy())
    assert kept["accepted"] == shown["values"] == shown["already_here"] == 18
    assert shown["new"] == 0
    again = await told(keeper, "keep", messy())
    assert (again["accepted"], again["already_here"], again["import_id"]) == (0, 18, None)
    longer = await told(keeper, "keep", messy(MESSY + "3.11.26;6,5;7,4;;;\n"))
    assert (longer["accepted"], longer["already_here"]) == (2, 18)
    imports = (await keeper.client.get("/api/past")).json()
    assert [one["count"] for one in imports if one["id"] == kept["import_id"]] == [18]
    assert (imports[0]["file_name"], imports[0]["bad_count"]) == ("pond.csv", 4)
    assert {(one["first_on"], one["last_on"]) for one in imports} == {
        ("2026-10-01", "2026-11-02"),
        ("2026-11-03", "2026-11-03"),
    }


async def test_what_is_kept_becomes_entries_the_household_sees(keeper: Phone) -> None:
    kept = await told(keeper, "keep", messy())
    entries = [one for one in await log(keeper) if one["kind"] != "set"]
    assert {one["device"] for one in entries} == {kept["import_id"]}
    assert {one["author"] for one in entries} == {keeper.person}
    doses = [one for one in entries if one["kind"] == "dose"]
    assert [(one["amount_g"], one["substance"]) for one in doses] == [(80, "sodium_bicarbonate")] * 2 + [
        (40, "sodium_bicarbonate")
    ]
    notes = [one["text"] for one in entries if one["kind"] == "note"]
    assert notes == ["clear", "rain; wind"]
    kh = [one for one in entries if one.get("quantity") == "kh_dkh"]
    assert [one["value"] for one in kh] == [5.5, pytest.approx(4.98656, rel=1e-4), 6.0, 6.5]
    assert (kh[0]["happened_at"], kh[0]["local_date"]) == ("2026-10-01T18:00:00+02:00", "2026-10-01")


async def test_an_import_is_taken_back_as_a_whole_and_can_come_again(keeper: Phone) -> None:
    first = await told(keeper, "keep", messy())
    for count in (18, 0):
        answer = await keeper.client.post("/api/past/take-back", json={"import_id": first["import_id"]})
        assert (answer.status_code, answer.json()) == (200, {"taken_back": count})
    shown = await told(keeper, "preview", messy())
    assert (shown["new"], shown["already_here"]) == (18, 0)
    again = await told(keeper, "keep", messy())
    assert again["accepted"] == 18 and again["import_id"] != first["import_id"]
    assert (await told(keeper, "keep", messy()))["accepted"] == 0
    imports = {one["id"]: one for one in (await keeper.client.get("/api/past")).json()}
    assert imports[first["import_id"]]["taken_back_at"] == START.isoformat().replace("+00:00", "Z")
    assert imports[again["import_id"]]["taken_back_at"] is None


class Cut(Exception):
    """The server is gone."""


async def test_an_import_cut_off_between_two_chunks_stops_no_backup_and_is_wrong_at_no_time(
    keeper: Phone, settings: Settings, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    lines = [f"{START - timedelta(minutes=15 * n):%Y-%m-%d %H:%M},{10 + n % 7 / 10}" for n in range(1, 1500)]
    table = ("time,Temperature °C\n" + "\n".join(lines)).encode()
    chunks, keep_chunk = 0, imports.keep_chunk

    async def cut_off(*chunk: Any) -> int:
        nonlocal chunks
        chunks += 1
        if chunks == 2:
            raise Cut
        return await keep_chunk(*chunk)

    with monkeypatch.context() as killed:
        killed.setattr(imports, "keep_chunk", cut_off)
        assert (await post(keeper, "keep", table)).status_code == 500
    made = back_up(
        settings.data, tmp_path / "stick", START, look=lambda file: try_backup(file, tmp_path / "aside", whole)
    )
    restore(made.file, tmp_path / "new", START, whole)

    (half,) = (await keeper.client.get("/api/past")).json()
    answer = await keeper.client.post("/api/past/take-back", json={"import_id": half["id"]})
    assert answer.json() == {"taken_back": 1000}
    (half,) = (await keeper.client.get("/api/past")).json()
    assert half["count"] == 1000 and half["taken_back_at"] is not None
    again = await told(keeper, "keep", table)
    assert again["accepted"] == 1499
    assert {one["count"] for one in (await keeper.client.get("/api/past")).json()} == {1000, 1499}
    whole(settings.data)


def whole(folder: Path) -> None:
    in_thread(lambda: require_whole(folder, unseen))


async def test_the_plan_rests_on_what_was_brought_in(keeper: Phone) -> None:
    def kh(plan: dict[str, Any]) -> list[dict[str, Any]]:
        return [one for water in plan["water"] for one in water["trends"] if one["quantity"] == "kh_dkh"]

    assert kh((await keeper.sync(want_plan=True))["plan"]) == []
    kept = await told(keeper, "keep", messy())
    (trend,) = kh((await keeper.sync(want_plan=True))["plan"])
    assert trend["past"]
    await keeper.client.post("/api/past/take-back", json={"import_id": kept["import_id"]})
    assert kh((await keeper.sync(want_plan=True))["plan"]) == []


async def test_what_the_keeper_chooses_goes_before_what_was_guessed(keeper: Phone) -> None:
    choices = {"date_order": "mdy", "columns": {"3": {"unit": "mg/L as N"}, "1": {"meaning": "gh_dgh", "unit": "°dGH"}}}
    shown = await told(keeper, "preview", b"Date;KH;pH;NO3\n3/4/26;5;7;10\n", choices=choices)
    assert [(one["meaning"], one["unit"], one["sure"]) for one in shown["columns"]][1::2] == [
        ("gh_dgh", "°dGH", True),
        ("nitrate_n_mg_per_l", "mg/L as N", True),
    ]
    assert shown["first"][0]["at"].startswith("2026-03-04")
    assert [one["value"] for one in shown["first"]] == [5, 7, 10]


@pytest.mark.parametrize(
    ("body", "code", "what"),
    [
        (b"", "not_readable", "empty"),
        (b" \r\n \n", "not_readable", "empty"),
        (b"PK\x03\x04" + bytes(100), "not_readable", "workbook"),
        (b"Date;KH\n\0\0\0", "not_readable", "no text"),
        (bytes(range(1, 32)) * 30 + b"\xff", "not_readable", "no text"),
        (b"\xff\xfeD", "not_readable", "UTF-16"),
    ],
)
async def test_a_file_that_is_no_table_is_refused(keeper: Phone, body: bytes, code: str, what: str) -> None:
    for call in ("preview", "keep"):
        answer = await post(keeper, call, body)
        assert answer.status_code == 400
        assert answer.json()["code"] == code
        assert what in answer.json()["what"]
        assert "CSV" in answer.json()["right"]


async def test_a_table_with_nothing_to_keep_says_so(keeper: Phone) -> None:
    only_a_header = await told(keeper, "preview", b"Date;KH;pH\n")
    assert (only_a_header["rows"], only_a_header["values"], only_a_header["bad_count"]) == (0, 0, 0)
    no_date = await told(keeper, "preview", b"Who;KH;pH\nMarit;5;7\n")
    assert no_date["bad"][0]["what"] == "no column holds the date"
    for body in (b"Date;KH;pH\n", b"Who;KH;pH\nMarit;5;7\n"):
        answer = await post(keeper, "keep", body)
        assert (answer.status_code, answer.json()["code"]) == (400, "missing")
    assert (await keeper.client.get("/api/past")).json() == []


@pytest.mark.parametrize(
    "query",
    [
        {"choices": {"columns": {"1": {"meaning": "weather"}}}},
        {"choices": {"columns": {"1": {"unit": "furlong"}}}},
        {"choices": {"date_order": "ydm"}},
        {"pond": "another"},
    ],
)
async def test_a_choice_there_is_not_is_refused(keeper: Phone, query: dict[str, Any]) -> None:
    answer = await post(keeper, "preview", b"Date;KH\n1.1.2026;5\n", **query)
    assert answer.status_code == 400
    assert set(answer.json()) == {"code", "what", "where", "right"}


async def test_without_a_pond_there_is_no_past(phone: Phone) -> None:
    answer = await post(phone, "preview", messy())
    assert (answer.status_code, answer.json()["where"]) == (400, "pond")


async def test_forty_columns_leave_out_what_nobody_knows(keeper: Phone) -> None:
    heads = ["Date", "KH", *(f"Remark {n}" if n == 20 else f"Thing {n}" for n in range(2, 40))]
    rows = [[f"{day}.10.2026", "5", *(str(n) for n in range(2, 40))] for day in range(1, 29)]
    shown = await told(keeper, "preview", "\n".join(";".join(row) for row in [heads, *rows]).encode())
    assert len(shown["columns"]) == 40
    assert {one["meaning"] for one in shown["columns"]} == {"date", "kh_dkh", "note", "left_out"}


async def test_only_the_newest_of_a_large_import_travel_to_phones(keeper: Phone) -> None:
    lines = [f"{START - timedelta(minutes=15 * n):%Y-%m-%d %H:%M},{10 + n % 7 / 10}" for n in range(1, 1500)]
    kept = await told(keeper, "keep", ("time,Temperature °C\n" + "\n".join(lines)).encode(), choices={})
    assert kept["accepted"] == 1499
    told_on = [one for one in await log_pages(keeper) if one["kind"] == "reading"]
    assert len(told_on) == 500
    assert min(one["happened_at"] for one in told_on)[:16] == f"{START - timedelta(minutes=15 * 500):%Y-%m-%dT%H:%M}"
    assert (await keeper.sync())["entries"] == []
    await keeper.client.post("/api/past/take-back", json={"import_id": kept["import_id"]})
    assert len([one for one in await log_pages(keeper) if one["kind"] == "take_back"]) == 500


async def log_pages(keeper: Phone) -> list[dict[str, Any]]:
    keeper.cursor, keeper.epoch = 0, None
    got, more = [], True
    while more:
        answer = await keeper.sync()
        got += [one["entry"] for one in answer["entries"]]
        more = answer["more"]
    return got


async def test_the_whole_log_goes_out_as_json_byte_for_byte(keeper: Phone) -> None:
    await told(keeper, "keep", messy())
    own = keeper.entry("note", START, text="=HYPERLINK(1)")
    await keeper.sync(own)
    answer = await keeper.client.get("/api/past/export.json")
    assert answer.headers["content-disposition"] == 'attachment; filename="evenwater.json"'
    everything = answer.json()
    assert everything["epoch"] == keeper.epoch and everything["deferred"] == []
    assert [one["seq"] for one in everything["entries"]] == list(range(1, len(everything["entries"]) + 1))
    assert everything["entries"][-1]["entry"] == own
    assert json.dumps(own, separators=(",", ":"), ensure_ascii=False) in answer.text


async def test_the_whole_log_goes_out_as_a_table_no_cell_of_which_is_a_formula(keeper: Phone) -> None:
    kept = await told(keeper, "keep", messy())
    await keeper.sync(keeper.entry("note", START, text='=HYPERLINK("x")'), keeper.entry("note", START, text="a; b"))
    await keeper.client.post("/api/past/take-back", json={"import_id": kept["import_id"]})
    answer = await keeper.client.get("/api/past/export.csv")
    assert answer.headers["content-type"] == "text/csv; charset=utf-8"
    text = answer.content.decode("utf-8-sig")
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    notes = [row["text"] for row in rows if row["kind"] == "note"]
    assert notes == ["clear", "rain; wind", '\'=HYPERLINK("x")', "a; b"]
    kh = [row for row in rows if row["what"] == "kh_dkh"]
    assert [float(row["value"]) for row in kh] == [5.5, pytest.approx(4.98656, rel=1e-4), 6.0, 6.5]
    assert {(row["unit"], row["point"], row["author"], row["taken_back"]) for row in kh} == {
        ("°dKH", "pond", "Marit", "yes")
    }
    assert {row["taken_back"] for row in rows if row["kind"] == "set"} == {""}


async def test_an_empty_log_goes_out_as_its_header(phone: Phone) -> None:
    text = (await phone.client.get("/api/past/export.csv")).content.decode("utf-8-sig")
    assert text.startswith("placed_at,date,pond") and text.count("\n") == 1
    assert (await phone.client.get("/api/past/export.json")).json()["entries"] == []


async def test_a_phone_is_answered_while_a_long_table_is_read(keeper: Phone) -> None:
    lines = "".join(
        f"{1 + n % 28}.{1 + n % 9}.{2000 + n % 26};{n % 60:02}:00;5,5;7,6;1{n % 9},2\n" for n in range(30_000)
    )
    done: list[str] = []

    async def look() -> None:
        await told(keeper, "preview", ("Date;Time;KH;pH;Temp °C\n" + lines).encode())
        done.append("table")

    async def sync() -> None:
        for _ in range(3):
            await keeper.sync()
            done.append("phone")

    await asyncio.gather(look(), sync())
    assert done == ["phone", "phone", "phone", "table"]
