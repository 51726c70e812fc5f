"""What somebody looks for in the log, and what is found."""

import json
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import msgspec
import pytest
from written_log import NOW, PERSON, Log

from evenwater.domain.book.entry_words import KIND_WORDS, Names, entry_words, names_in
from evenwater.domain.book.search import GROUPS, Sought, matches, plain, says, terms_of
from evenwater.domain.entries import KINDS
from evenwater.domain.fold import Seen, fold

CASES = json.loads((Path(__file__).parents[2] / "reference" / "book" / "search_cases.json").read_text())["cases"]


@pytest.fixture
def log() -> Log:
    log = Log()
    log.pond(name="Long pond", units={"temperature_c": "°F", "kh_dkh": "mg/L as CaCO₃"})
    settings = {
        "job/drum": {"text": "Rinse the drum", "place": "Filter house", "kit": "drum"},
        "job/cover": {"text": "Cover", "texts": {"on": "Covers on"}, "active": False},
        "kit/drum": {"name": "Big drum", "place": "Filter house"},
        "fish/aki": {"name": "Aki", "variety": "Kōhaku"},
    }
    for target, fields in settings.items():
        for field, value in fields.items():
            log.write("set", NOW - timedelta(days=50), target=target, field=field, value=value)
    return log


def names(log: Log) -> Names:
    return names_in(fold(log.entries), {PERSON: "Wenna"}, NOW.date())


def travels(one: Seen) -> dict[str, Any]:
    """An entry as it travels."""
    found: dict[str, Any] = json.loads(msgspec.json.encode(one.entry))
    return found


def found(log: Log, one: Seen, text: str = "", **sought: Any) -> bool:
    return matches(travels(one), Sought(text=text, **sought), names(log))


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case['text']} in {case['words']}")
def test_words_and_numbers_are_found_as_the_cases_say(case: dict[str, Any]) -> None:
    assert says(plain(case["words"]), terms_of(case["text"])) is case["found"]


def test_a_reading_is_found_by_its_label_and_its_number_in_the_keepers_unit(log: Log) -> None:
    warm = log.write("reading", NOW, quantity="temperature_c", value=20.0)
    assert found(log, warm, "water temperature 68") and not found(log, warm, "20")
    assert not found(log, warm, "ph")


def test_a_tick_is_found_by_what_its_job_was_ever_called_also_once_it_is_off(log: Log) -> None:
    done = log.tick("cover", NOW.date(), "on", NOW)
    assert found(log, done, "covers on") and found(log, done, "done cover")
    log.write("set", NOW, target="job/cover", field="text", value="Lid")
    assert found(log, done, "lid") and found(log, done, "cover")


def test_fish_are_found_by_name_and_variety_and_by_their_filter(log: Log) -> None:
    long = log.write("fish_measure", NOW, fish="aki", length_cm=41, length_is="total")
    seen = log.write("fish_seen", NOW, fish=["aki"], signs=["clamped_fins"])
    named = log.entries[-3]
    assert named.entry.target == "fish/aki"  # type: ignore[union-attr]
    assert found(log, long, "kohaku 41") and found(log, seen, "AKI clamped fins")
    assert all(found(log, one, fish="aki") for one in (long, seen, named))
    assert not found(log, long, fish="yuki") and not found(log, log.kh(5, NOW), fish="aki")


def test_whoever_wrote_it_is_found_by_name_and_by_their_filter(log: Log) -> None:
    note = log.write("note", NOW, text="First frogs.")
    assert found(log, note, "wenna frogs") and found(log, note, person=PERSON)
    assert not found(log, note, person="somebody else")


def test_a_place_finds_jobs_and_kit_that_stand_there_and_a_point_its_readings(log: Log) -> None:
    done = log.tick("drum", NOW.date(), "day", NOW)
    serviced = log.write("service", NOW, service="drum_rinsed", kit="drum")
    mains = log.write("reading", NOW, quantity="kh_dkh", value=9, point="mains")
    kh = log.kh(5, NOW)
    assert found(log, done, place="Filter house") and found(log, serviced, place="Filter house")
    assert found(log, mains, place="point/mains") and found(log, kh, place="point/pond")
    assert not any(found(log, one, place="point/mains") for one in (done, serviced, kh))


def test_kit_finds_its_services_its_settings_and_the_jobs_that_name_it(log: Log) -> None:
    done = log.tick("drum", NOW.date(), "day", NOW)
    other = log.tick("cover", NOW.date(), "on", NOW)
    changed = log.write("change", NOW, text="Finer screen", kit="drum")
    assert found(log, done, kit="drum") and found(log, changed, kit="drum") and not found(log, other, kit="drum")


def test_what_was_given_are_doses_food_and_ticks_with_an_amount(log: Log) -> None:
    dose = log.tick("buffer", NOW.date(), "dusk", NOW, amount_g=54, substance="sodium_bicarbonate")
    done = log.tick("drum", NOW.date(), "day", NOW)
    fed = log.write("feed", NOW, feed_g=110)
    assert [found(log, one, group="given") for one in (dose, done, fed)] == [True, False, True]
    assert [found(log, one, group="done") for one in (dose, done, fed)] == [True, True, False]


def test_all_that_is_asked_must_hold(log: Log) -> None:
    done = log.tick("drum", NOW.date(), "day", NOW)
    assert found(log, done, "drum", group="done", pond="main", place="Filter house", kit="drum")
    assert not found(log, done, "drum", group="done", pond="other")
    assert not found(log, done, "pump", group="done")


def test_power_water_and_looks_are_found_by_what_happened(log: Log) -> None:
    assert found(log, log.write("power", NOW, on=False), "power out")
    assert found(log, log.write("water_running", NOW, running=True), "water opened")
    assert found(log, log.write("look", NOW, all_well=False, wrong=["flow"]), "something was wrong flow")


def test_a_setting_is_found_by_what_it_is_of_and_its_value(log: Log) -> None:
    spares = log.write("set", NOW, target="kit/drum", field="spares", value=3)
    assert found(log, spares, "big drum spares 3")


def test_every_kind_is_in_a_group_and_has_its_words() -> None:
    assert {kind for kinds in GROUPS.values() for kind in kinds} == KINDS == set(KIND_WORDS)


def test_kinds_that_cannot_hold_it_are_not_even_looked_through() -> None:
    assert Sought().kinds is None
    assert Sought(group="measured").kinds == {"reading", "air_forecast", "start_up"}
    assert Sought(group="measured", fish="aki").kinds == frozenset()
    assert "fish_measure" in (Sought(fish="aki").kinds or ())


def test_ids_nobody_knows_are_looked_for_as_they_stand() -> None:
    nothing = Names({}, {}, {}, {}, {}, {})
    entry = {"kind": "tick", "pond": "gone", "standing_job": "old-job", "kit": "red-pump", "due_on": str(date.max)}
    assert entry_words(entry, nothing) == "done old job red pump"
