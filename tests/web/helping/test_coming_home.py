"""The report of a hand-over over the wire."""

from datetime import timedelta

import pytest
from conftest import START, Clock, Phone

HELPER = {"id": "0c4d2c1e-6f5b-4c3d-8e9f-001122334455", "name": "Anna"}


@pytest.fixture
async def handed_over(phone: Phone) -> Phone:
    """A household with a pond and a hand-over that began yesterday."""
    first = (START - timedelta(days=1)).date()
    settings = {"begins_on": first.isoformat(), "ends_on": (first + timedelta(days=3)).isoformat()}
    settings |= {"helpers": [HELPER], "jobs": ["main/cover"]}
    entries = [phone.entry("set", START, target="pond", field="name", value="Long pond", effective_from=None)]
    entries += [
        phone.entry("set", START, target="hand-over/autumn", field=field, value=value, effective_from=None)
        for field, value in settings.items()
    ]
    told = await phone.sync(*entries)
    assert {one["verdict"] for one in told["verdicts"]} == {"accepted"}  # type: ignore[index,union-attr]
    return phone


async def test_a_keeper_reads_what_stands_so_far(handed_over: Phone, clock: Clock) -> None:
    await handed_over.sync(handed_over.entry("note", START, text="All calm."))
    answer = await handed_over.client.get("/api/hand-overs/autumn/report")
    assert answer.status_code == 200, answer.text
    told = answer.json()
    assert (told["stage"], told["helper_names"]) == ("runs", ["Anna"])
    assert [one["text"] for one in told["notes"]] == ["All calm."]
    clock.now += timedelta(days=9)
    assert (await handed_over.client.get("/api/hand-overs/autumn/report")).json()["stage"] == "over"


async def test_what_a_probe_sent_on_its_days_is_told(handed_over: Phone) -> None:
    yesterday = (START - timedelta(days=1)).isoformat()
    table = f"at,water_c\n{(START - timedelta(days=5)).isoformat()},3\n{yesterday},17.5\n".encode()
    kept = await handed_over.client.post("/api/samples/csv", content=table)
    assert kept.status_code == 200, kept.text
    (line,) = (await handed_over.client.get("/api/hand-overs/autumn/report")).json()["measured"]
    assert (line["low"], line["high"]) == ("17.5 °C", "17.5 °C")


async def test_one_without_dates_tells_nothing(handed_over: Phone) -> None:
    bare = handed_over.entry("set", START, target="hand-over/bare", field="name", value="Bare", effective_from=None)
    await handed_over.sync(bare)
    answer = await handed_over.client.get("/api/hand-overs/bare/report")
    assert (answer.status_code, answer.json()["stage"]) == (200, "unset")


async def test_a_hand_over_nobody_made_is_not_found(handed_over: Phone) -> None:
    answer = await handed_over.client.get("/api/hand-overs/spring/report")
    assert answer.status_code == 404
    assert answer.json()["code"] == "not_found"
