"""What sightings have in common, and first aid that is safe for all."""

import re
from datetime import timedelta

import pytest
from fish_log import FishLog
from written_log import NOW

from evenwater.domain.fish.outlook import SignPattern
from evenwater.domain.fish.page import fish_of, register_of
from evenwater.domain.fish.signs import FIRST_AID
from evenwater.domain.fold import fold
from evenwater.domain.rounds.warmth_now import warmth_now
from evenwater.domain.warmth.pond_air import Samples

MEDICINES = re.compile(r"medic|antibiot|formal|malachite|permanganat|treat|diagnos|parasit|bacteri|fungus|infect", re.I)


@pytest.fixture
def log() -> FishLog:
    log = FishLog()
    log.pond()
    log.write("note", NOW - timedelta(days=80), text="The log begins")
    for name in ("asagi", "showa", "ogon"):
        log.fish(name)
    return log


def seen(log: FishLog, days_ago: float, *signs: str, fish: tuple[str, ...] = ()) -> None:
    log.write("fish_seen", NOW - timedelta(days=days_ago), fish=list(fish), signs=list(signs))


def patterns(log: FishLog) -> tuple[SignPattern, ...]:
    known = fold(log.entries)
    (pond,) = known.ponds(NOW.date())
    warmth = warmth_now(known, pond, Samples(), NOW).page
    return fish_of(known, pond, register_of(known, {}, NOW), warmth, NOW).patterns


def test_one_sighting_is_no_pattern(log):
    seen(log, 3, "flashing", fish=("asagi",))
    assert patterns(log) == ()


def test_gasping_today_comes_first_and_says_what_is_safe(log):
    seen(log, 0.1, "gasping")
    seen(log, 2, "flashing", fish=("asagi",))
    seen(log, 1, "flashing", fish=("showa",))
    first = patterns(log)[0]
    assert first.title == "Gasping"
    assert first.steps == FIRST_AID
    assert "air" in first.steps[1]
    assert "vet" in first.steps[-1]


def test_the_same_on_several_fish_within_days_points_to_the_water(log):
    seen(log, 5, "flashing", fish=("asagi",))
    seen(log, 3, "flashing", fish=("showa", "ogon"))
    (one,) = patterns(log)
    assert one.title == "Flashing on 3 fish"
    assert "within 3 days" in one.says
    assert len(one.entries) == 2


def test_one_fish_seen_again_and_again_is_named(log):
    for days_ago in (15, 9, 2):
        seen(log, days_ago, "isolating", fish=("asagi",))
    (one,) = patterns(log)
    assert one.title == "Asagi: seen again and again"
    assert "keeping apart" in one.says


def test_what_follows_new_water_far_more_often_than_chance_is_told_as_no_proof(log):
    for days_ago in (50, 35, 20, 8):
        log.write("water_change", NOW - timedelta(days=days_ago), volume_l=1000)
        seen(log, days_ago - 1, "flashing")
    (one,) = [one for one in patterns(log) if "after" in one.title]
    assert one.title == "Flashing after new water"
    assert one.says.startswith("4 of the 4 days with it came within 2 days after new water; of all 61 days 12 did.")
    assert "no proof" in one.says


def test_what_comes_as_often_without_it_is_not_told(log):
    for days_ago in range(0, 60, 2):
        log.write("water_change", NOW - timedelta(days=days_ago), volume_l=1000)
    for days_ago in (50, 35, 20, 8):
        seen(log, days_ago, "flashing")
    assert not [one for one in patterns(log) if "after" in one.title]


def test_no_diagnosis_and_no_medicine_is_ever_named(log):
    for days_ago in (12, 9, 5, 1, 0.1):
        log.write("salt", NOW - timedelta(days=days_ago + 1), salt_g=1000)
        seen(log, days_ago, "flashing", "gasping", "spots", "wound", "swollen", fish=("asagi", "showa"))
    told = patterns(log)
    assert len(told) == 5
    for one in told:
        assert not MEDICINES.search(" ".join((one.title, one.says, *one.steps)))
