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


async def test_a_hand_over_nobody_made_is_not_found(handed_over: Phone) -> None:
    answer = await handed_over.client.get("/api/hand-overs/spring/report")
    assert answer.status_code == 404
    assert answer.json()["code"] == "not_found"
