"""Each kit item as its keeper told of it, its counter showed it and the work on it was logged."""

from datetime import timedelta

from msgspec.structs import replace
from written_log import NOW, PERSON, Log, starter

from evenwater.domain.book.kit_state import kit_states
from evenwater.domain.fold import fold

TODAY = NOW.date()
PUMP = {"id": "pump", "name": "Main pump", "kind": "pump", "fitted_on": "2026-10-04"}
DRUM = {"id": "drum", "name": "Drum", "kind": "drum", "fitted_on": "2026-10-04", "hours_per_day": 2}
CARBON = {"id": "carbon", "name": "Carbon", "kind": "cartridge", "fitted_on": "2026-09-04"}
MEMBRANE = {"id": "ro", "name": "Membrane", "kind": "membrane", "fitted_on": "2026-10-04"}


def ago(days: float):
    return NOW - timedelta(days=days)


def kept(*kit: dict[str, object], **settings: object) -> Log:
    log = Log()
    log.pond(volume_l=20_000, kit=list(kit), **settings)
    return log


def states(log: Log):
    known = fold(log.entries)
    (pond,) = known.ponds(TODAY)
    return {one.id: one for one in kit_states(known, pond, TODAY)}


def test_what_was_found_and_done_is_told_with_the_work():
    log = kept(DRUM)
    log.write("service", ago(4), service="drum_rinsed", kit="drum", text="screen torn: patched")
    state = states(log)["drum"]
    assert [what for _, what, _ in state.services] == ["Drum rinsed: screen torn: patched"]
    assert "(drum rinsed)" in state.says


def test_without_a_counter_hours_are_reckoned_from_the_usual_day():
    state = states(kept(PUMP, DRUM))
    assert (state["pump"].hours, state["drum"].hours, state["pump"].told) == (720.0, 60.0, False)
    assert state["pump"].says == "720 h since 4 October 2026; reckoned from its usual day."
    assert (state["pump"].volume_l, state["pump"].hours_since_service) == (None, None)


def test_its_own_counter_is_believed_and_says_when_it_was_last_read():
    log = kept(PUMP)
    log.write("meter", ago(20), kit="pump", hours=200)
    log.write("meter", ago(0), kit="pump", hours=500)
    state = states(log)["pump"]
    assert (state.hours, state.told) == (500.0, True)
    assert state.says == "500 h since 4 October 2026; by its own counter, last read 3 November 2026."


def test_another_item_s_counter_is_not_its_own():
    log = kept(PUMP, DRUM)
    log.write("meter", ago(0), kit="pump", hours=500)
    assert not states(log)["drum"].told


def test_a_tick_of_a_job_on_the_kit_and_an_entry_of_its_own_are_both_work_on_it():
    log = kept(DRUM, PUMP)
    log.job(replace(starter("agitate"), id="drum-rinse", service="drum_rinsed", kit="drum"))
    log.tick("drum-rinse", ago(9).date(), "midday", ago(9))
    log.write("service", ago(4), service="drum_rinsed", kit="drum")
    state = states(log)["drum"]
    assert state.services == ((ago(4).date(), "Drum rinsed", PERSON), (ago(9).date(), "Drum rinsed", PERSON))
    assert state.hours_since_service == 8.0
    assert state.says == (
        "60 h since 4 October 2026, 8 h since 30 October 2026 (drum rinsed); reckoned from its usual day."
    )
    assert states(log)["pump"].services == ()


def test_work_that_names_no_item_is_of_the_only_one_of_its_kind():
    log = kept(CARBON)
    log.job(starter("agitate"))
    log.tick("agitate", ago(3).date(), "midday", ago(3))
    assert [what for _, what, _ in states(log)["carbon"].services] == ["Carbon agitated"]
    two = kept(CARBON, CARBON | {"id": "carbon-2"})
    two.write("service", ago(3), service="carbon_agitated")
    assert [one.services for one in states(two).values()] == [(), ()]


def test_a_changed_cartridge_is_a_new_one():
    log = kept(CARBON, inflow_l_per_day=400)
    log.write("service", ago(10), service="carbon_changed", kit="carbon")
    state = states(log)["carbon"]
    assert state.volume_l == state.volume_since_service_l == 4000.0
    assert state.says == "10 days and 4,000 L since 24 October 2026; reckoned from its usual day."


def test_the_trickle_counts_as_it_was_set_and_the_membrane_takes_its_reject_with_it():
    membrane = {"recovery_fraction": 0.5, "rejection_fraction": 0.95}
    log = kept(CARBON, MEMBRANE, inflow_l_per_day=400, membrane=membrane, bypass_fraction=0.25)
    log.write("set", ago(1), target="pond", field="inflow_l_per_day", value=800, effective_from="2026-10-24")
    state = states(log)
    # Of each litre a quarter goes round the membrane, three quarters through it as twice as much.
    assert state["ro"].volume_l == 20 * 600 + 10 * 1200
    assert state["carbon"].volume_l == 50 * 700 + 10 * 1400


def test_work_taken_back_was_never_done():
    log = kept(DRUM)
    done = log.write("service", ago(4), service="drum_rinsed", kit="drum")
    log.write("take_back", ago(3), entry=done.entry.id)
    assert states(log)["drum"].services == ()


def test_an_item_nobody_dated_says_what_to_tell():
    state = states(kept({"id": "lamp", "name": "Lamp", "kind": "lamp"}))["lamp"]
    assert state.hours is None
    assert state.says == "Tell when it was fitted, or log the next work on it: then it is counted."
