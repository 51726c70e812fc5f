"""Kit, its counter and services; a change written down; fish that came; what the pond holds. Each with its slips."""

from contextlib import closing

from journeys.home import Home
from journeys.household import POND, Caller
from journeys.phones import make_ready_for_no_signal, sign_in
from journeys.round_screen import SENT, press, sync_line
from journeys.water_screen import field, settings
from playwright.sync_api import Page, expect


def saved(page: Page, heading: str) -> None:
    """The form is gone; what it said is at home."""
    press(page, "Save")
    expect(page.get_by_role("heading", name=heading, level=1, exact=True)).to_be_visible()
    expect(sync_line(page)).to_have_text(SENT)


def last(keeper: Caller, kind: str) -> dict[str, object]:
    """The newest entry of that kind at home."""
    return keeper.log(kind)[-1]["entry"]


def test_a_pump_is_told_read_and_serviced(keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    phone.goto("/kit")
    phone.get_by_role("link", name="+ kit").tap()
    press(phone, "Save")
    expect(phone.get_by_role("alert")).to_have_text("Please fill this in.")
    field(phone, "Name").fill("Blue pump")
    field(phone, "Runs a day").fill("25")
    press(phone, "Save")
    expect(phone.get_by_role("alert")).to_have_text("Between 0 and 24 h.")
    field(phone, "Runs a day").fill("12")
    field(phone, "Whole ones in the cupboard").fill("1")
    saved(phone, "Kit")
    told = {field: value for (target, field), value in settings(keeper).items() if target == "kit/blue-pump"}
    assert told == {"name": "Blue pump", "kind": "pump", "hours_per_day": 12, "spares": 1}
    pump = phone.get_by_role("article", name="Blue pump")
    pump.get_by_role("link", name="Read its counter").tap()
    press(phone, "Save")
    expect(phone.get_by_role("alert")).to_have_text("Fill in at least one of them.")
    field(phone, "Hours run").fill("1204.5")
    saved(phone, "Kit")
    assert (last(keeper, "meter")["kit"], last(keeper, "meter")["hours"]) == ("blue-pump", 1204.5)
    pump.get_by_role("link", name="Read its counter").tap()
    field(phone, "Hours run").fill("124")
    expect(phone.get_by_text("Less than the 1,205 h of Tue 24 Nov: a slip, or a new counter?")).to_be_visible()
    field(phone, "Hours run").fill("")
    phone.get_by_role("link", name="Cancel").tap()
    pump.get_by_role("link", name="Serviced").tap()
    phone.get_by_label("A whole one was used (1 held)").select_option("yes")
    saved(phone, "Kit")
    assert (last(keeper, "service")["kit"], last(keeper, "service")["service"]) == ("blue-pump", "pump_serviced")
    expect(pump).to_contain_text("no spare")
    phone.reload()
    expect(pump.get_by_role("button", name="take back: Pump serviced")).to_be_visible()


def test_parts_are_kept_for_a_pump_and_used_as_it_is_serviced(keeper: Caller, phone: Page) -> None:
    pump = {"name": "Blue pump", "kind": "pump", "parts": [{"name": "Seal, large", "held": 1}]}
    keeper.keep(*(keeper.entry("set", target="kit/blue", field=field, value=value) for field, value in pump.items()))
    sign_in(phone)
    phone.goto("/kit?item=blue")
    press(phone, "Add a part")
    row = phone.get_by_role("group", name="Part 2")
    row.get_by_role("textbox", name="Part").fill("seal, LARGE")
    row.get_by_role("textbox", name="In the cupboard").fill("1.5")
    press(phone, "Save")
    expect(phone.get_by_role("alert")).to_have_text("A whole number, such as 5.")
    row.get_by_role("textbox", name="In the cupboard").fill("2")
    press(phone, "Save")
    expect(phone.get_by_role("alert")).to_have_text("That part stands here already.")
    row.get_by_role("textbox", name="Part").fill("Impeller")
    saved(phone, "Kit")
    card = phone.get_by_role("article", name="Blue pump")
    expect(card).to_contain_text("Seal, large 1 · Impeller 2")
    card.get_by_role("link", name="Serviced").tap()
    field(phone, "What was found and done").fill("Ran dry, new seal")
    press(phone, "Seal, large (1 held)")
    saved(phone, "Kit")
    expect(card).to_contain_text("None left: Seal, large.")
    expect(card).to_contain_text("Pump serviced, Blue pump: Ran dry, new seal")
    assert settings(keeper)["kit/blue", "parts"] == [
        {"name": "Seal, large", "held": 0},
        {"name": "Impeller", "held": 2},
    ]
    card.get_by_role("link", name="All about it").tap()
    expect(phone.get_by_text("Pump serviced, Blue pump: Ran dry, new seal")).to_be_visible()
    expect(phone.get_by_text("entries found")).to_be_visible()


def test_two_of_one_name_are_refused(keeper: Caller, phone: Page) -> None:
    kit = [{"id": "blue-pump", "name": "Blue pump", "kind": "pump"}]
    keeper.keep(keeper.entry("set", target="pond", field="kit", value=kit, effective_from=None))
    sign_in(phone)
    phone.goto("/kit?new")
    field(phone, "Name").fill("blue pump")
    press(phone, "Save")
    expect(phone.get_by_role("alert")).to_have_text("Another piece of kit has that name.")


def test_what_two_keepers_add_without_signal_both_stands(home: Home, keeper: Caller, phone: Page) -> None:
    home.add_person("Anna")
    sign_in(phone)
    make_ready_for_no_signal(phone)
    phone.context.set_offline(True)
    phone.goto("/kit?new")
    field(phone, "Name").fill("Blue pump")
    press(phone, "Save")
    expect(phone.get_by_role("article", name="Blue pump")).to_be_visible()
    with closing(Caller(home.url, home.clock).sign_in("Anna")) as anna:
        anna.keep(anna.entry("set", target="kit/red-pump", field="name", value="Red pump", effective_from=None))
    phone.context.set_offline(False)
    for name in ("Blue pump", "Red pump"):
        expect(phone.get_by_role("article", name=name)).to_be_visible()
    phone.get_by_role("link", name="Set it: Red pump").tap()
    press(phone, "Remove it from the list")
    expect(phone.get_by_role("article", name="Red pump")).to_have_count(0)
    expect(phone.get_by_role("article", name="Blue pump")).to_be_visible()


def test_a_change_is_written_down_with_no_signal_and_judged_later(keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    make_ready_for_no_signal(phone)
    phone.goto("/changes")
    expect(phone.get_by_text("No change is written down yet.")).to_be_visible()
    phone.context.set_offline(True)
    phone.goto("/changes?new")
    press(phone, "Save")
    expect(phone.get_by_role("alert")).to_have_text("Please fill this in.")
    field(phone, "What was changed").fill("Flush added before the carbon")
    press(phone, "Agitate the carbon cartridges")
    press(phone, "Total chlorine")
    press(phone, "Save")
    written = phone.get_by_role("article").filter(has_text="Flush added before the carbon")
    expect(written).to_contain_text("What it did is told with the next word from home.")
    expect(written).to_contain_text("To tell: Agitate the carbon cartridges, Total chlorine.")
    phone.context.set_offline(False)
    expect(sync_line(phone)).to_have_text(SENT)
    told = last(keeper, "change")
    assert (told["jobs"], told["quantities"]) == (["agitate"], ["total_chlorine_ug_per_l"])
    expect(written).to_contain_text("too early")


def test_new_fish_go_into_quarantine_and_others_leave(keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    phone.goto("/changes?fish")
    expect(phone.get_by_text("Own net, bucket and towel")).to_be_visible()
    field(phone, "How many").fill("0")
    press(phone, "Save")
    expect(phone.get_by_role("alert")).to_have_text("Between 1 and 10,000.")
    field(phone, "How many").fill("2")
    field(phone, "Together they weigh").fill("1,25")
    saved(phone, "Changes")
    move = last(keeper, "fish_move")
    assert (move["to_pond"], move["count"], move["mass_g"], move["quarantine"]) == (POND, 2, 1250, True)
    phone.goto("/changes?fish")
    phone.get_by_label("What happened").select_option("left")
    field(phone, "How many").fill("1")
    saved(phone, "Changes")
    assert (last(keeper, "fish_move")["from_pond"], last(keeper, "fish_move").get("to_pond")) == (POND, None)


def test_what_is_in_the_pond_and_what_it_eats(keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    phone.goto("/changes?stock")
    field(phone, "Fish").first.fill("14")
    field(phone, "No food below").fill("2")
    phone.get_by_label("Feed in steps").select_option("yes")
    press(phone, "Save")
    expect(phone.get_by_role("alert").first).to_have_text("Between 4 and 20 °C.")
    field(phone, "No food below").fill("9")
    phone.get_by_label("From", exact=True).fill("2027-03-20")
    saved(phone, "Changes")
    told = settings(keeper)
    assert (told["pond", "fish_count"], told["pond", "feed_floor_c"]) == (14, 9)
    assert told["pond", "feed_steps"] == {
        "starts_on": "2027-03-20",
        "first_fraction": 0.25,
        "step_fraction": 0.25,
        "days_per_step": 5,
    }
