"""The fish of the invented pond: grow as their story says, and the Fish page finds out what happened to them."""

import asyncio
import csv
import hashlib
import re
from collections.abc import Iterator
from datetime import UTC, datetime
from math import exp, hypot
from pathlib import Path

import pytest

from evenwater.domain.fish.length_weight import TOTAL_PER_STANDARD
from evenwater.domain.fish.outlook import FishState, PondFish
from evenwater.example import load_example
from evenwater.settings import Settings
from evenwater.storage.database import Database
from evenwater.storage.photos import PhotoStore
from evenwater.web.plans.planning import Planner

ROOT = Path(__file__).parents[2]
SCENARIO = ROOT / "seed_scenario"
EVENING = datetime(2026, 11, 25, 16, 20, tzinfo=UTC)
BEGINS = -952
CURVES = {
    name.lower().replace(" ", "-"): tuple(map(float, numbers))
    for name, *numbers in re.findall(
        r"^\| ([A-Z][\w ]+) \| ([\d.]+) \| ([\d.]+) \| ([\d.]+) \|$", (SCENARIO / "README.md").read_text(), re.MULTILINE
    )
}
"""Of each named fish, as the story's README gives them: first length [cm], where it ends [cm], rate [1/year]."""


def settings_for(folder: Path) -> Settings:
    return Settings(data=folder, frontend=ROOT / "frontend", example=True)


@pytest.fixture(scope="module")
def poured(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("poured")
    asyncio.run(load_example(settings_for(folder), SCENARIO, lambda: EVENING, fresh=False))
    return folder


@pytest.fixture(scope="module")
def pages(poured: Path) -> dict[str, PondFish]:
    """The Fish page of each pond on the evening of the story."""

    async def read() -> dict[str, PondFish]:
        database = await Database.open(settings_for(poured).database)
        try:
            plan = await Planner(database).plan(EVENING)
            return {one.pond: one for one in plan.fish}
        finally:
            await database.close()

    return asyncio.run(read())


@pytest.fixture
def fish(pages: dict[str, PondFish]) -> dict[str, FishState]:
    return {one.id: one for one in pages["main"].fish}


def bowled() -> Iterator[dict[str, str]]:
    with (SCENARIO / "bowling.csv").open(encoding="utf-8", newline="") as file:
        yield from csv.DictReader(file)


def length_cm(fish: str, day: int) -> float:
    then, ends, rate = CURVES[fish]
    return ends - (ends - then) * exp(-rate * (day - BEGINS) / 365.25)


def test_every_length_agrees_with_the_curve_of_its_fish() -> None:
    assert len(CURVES) == 8
    for row in bowled():
        if row["fish"] in CURVES and not (row["fish"] == "rook" and int(row["day"]) > -222):
            true_cm = length_cm(row["fish"], int(row["day"]))
            read_cm = float(row["length_cm"]) * (TOTAL_PER_STANDARD if row["length_is"] == "standard" else 1.0)
            # Two spreads and a half, and half a step of reading, more where it was turned from a standard length.
            assert abs(read_cm - true_cm) < 2.5 * hypot(0.4, 0.01 * true_cm) + 0.35, row


def test_twelve_swim_in_the_long_pond_and_the_page_knows_who_left(
    pages: dict[str, PondFish], fish: dict[str, FishState]
) -> None:
    assert pages["main"].stock.count == 12
    assert sum(one.here for one in fish.values()) == 12
    assert {name: (one.gone, str(one.gone_on)) for name, one in fish.items() if one.gone} == {
        "linnet": ("sold", "2026-01-29"),
        "sorrel": ("died", "2026-07-27"),
    }
    new = {one.id: one.quarantine for one in pages["quarantine"].fish}
    assert new == {"snowdrop": True, "slate": True}


def test_their_mass_is_known_within_a_quarter(pages: dict[str, PondFish]) -> None:
    mass = pages["main"].stock.mass_g
    assert mass is not None
    # As the story's curves and builds have it today.
    assert mass.low < 20_400 < mass.high
    assert mass.high - mass.low < 0.25 * mass.middle


def test_rook_who_stopped_growing_stands_out_and_the_others_do_not(fish: dict[str, FishState]) -> None:
    assert {name for name, one in fish.items() if one.stands_out} == {"rook"}
    assert [seen.signs for seen in fish["rook"].seen] == [("flashing",), ("flashing",)]


def test_where_each_fish_ends_is_found_within_its_band(fish: dict[str, FishState]) -> None:
    found = {name: one.curve.l_inf_cm for name, one in fish.items() if one.curve is not None and name != "rook"}
    assert {"bracken", "morwen", "pewter", "tansy", "old-finch"} <= found.keys()
    inside = [band.low <= CURVES[name][1] <= band.high for name, band in found.items()]
    # Nine in ten are to be expected; of six or so, one may be out.
    assert sum(inside) >= len(inside) - 1


def test_morwen_measured_twice_is_told_of_and_the_later_counts(fish: dict[str, FishState]) -> None:
    twice = [one for one in fish["morwen"].measures if str(one.on) == "2025-10-11"]
    assert [one.counts for one in twice] == [True, False]
    assert all("Measured twice" in one.doubts[0] for one in twice)


async def test_every_drawing_is_kept_and_named_by_its_measure(poured: Path) -> None:
    database = await Database.open(settings_for(poured).database)
    try:
        named = await database.reader.execute_fetchall(
            "SELECT value FROM entry, json_each(entry.content, '$.photos') WHERE kind = 'fish_measure'"
        )
        sums = [str(row[0]) for row in named]
        assert len(sums) == len(set(sums)) == sum(row["photo"] != "" for row in bowled())
        photos = PhotoStore(database, 10_000_000)
        assert await photos.lacking(sums) == []
        kept = await photos.find(sums[0])
        assert kept is not None
        content = await photos.read(kept, "whole")
        assert content is not None and hashlib.sha256(content).hexdigest() != kept.sum, "drawn anew, as all photos are"
    finally:
        await database.close()
