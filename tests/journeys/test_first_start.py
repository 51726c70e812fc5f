"""Somebody new: a name, a pond, its jobs, a first reading and a first dose, with the slips people make."""

from journeys.home import Home
from journeys.household import PASSPHRASE, Caller
from journeys.line import server_error
from journeys.phones import phone_in, sign_in
from journeys.round_screen import SENT, card, press, sync_line
from playwright.sync_api import Browser, Locator, Page, expect


def test_somebody_new_gets_to_a_first_dose_past_every_slip(home: Home, phone: Page) -> None:
    phone.goto("/")
    begin(phone)
    describe_the_pond(phone)
    choose_jobs(phone)
    give_the_first_dose(phone)
    witness = Caller(home.url, home.clock).sign_in()
    check_log(witness)
    witness.close()


def begin(page: Page) -> None:
    """Name and passphrase; an empty form and a short passphrase are told what would be right."""
    expect(page.get_by_role("heading", name="A calm log for the pond")).to_be_visible()
    press(page, "Begin")
    expect(page.get_by_role("alert")).to_have_text(["Please fill this in."] * 2)
    page.get_by_label("Your name").fill("Marit")
    page.get_by_label("Passphrase").fill("koi")
    press(page, "Begin")
    expect(page.get_by_role("alert")).to_contain_text("8")
    page.get_by_label("Passphrase").fill(PASSPHRASE)
    expect(page.get_by_label("Passphrase")).to_have_attribute("type", "password")
    press(page, "Show what is typed")
    expect(page.get_by_label("Passphrase")).to_have_attribute("type", "text")
    press(page, "Begin")
    expect(page.get_by_role("heading", name="Your pond")).to_be_visible()


def describe_the_pond(page: Page) -> None:
    """The pond's figures, wrong ones first: nothing is saved before all of them can be."""
    wrong = {
        "Name": " ",
        "Volume": "sixteen",
        "KH of the incoming water": "400",
        "Incoming water a day": "-1",
        "Weight of one capful": "-4",
    }
    for label, text in wrong.items():
        field(page, label).fill(text)
    press(page, "Go on")
    told = {
        "Name": "Please fill this in.",
        "Volume": "A number, such as 5 or 5.5.",
        "KH of the incoming water": "Between 0 and 25 °dKH.",
        "Incoming water a day": "Between 0 and 100,000 L.",
        "Weight of one capful": "Between 1 and 2,000 g.",
    }
    for label, error in told.items():
        expect(field(page, label)).to_have_accessible_description(error)
        expect(field(page, label)).to_have_attribute("aria-invalid", "true")
    right = {
        "Name": "Long pond",
        "Volume": "16",
        "KH of the incoming water": "0,5",
        "Incoming water a day": "400",
        "Weight of one capful": "37,5",
    }
    for label, text in right.items():
        field(page, label).fill(text)
    press(page, "Go on")
    litres = "16 L is a bath's worth or less. Right would be, for cubic metres: 16,000."
    expect(field(page, "Volume")).to_have_accessible_description(litres)
    field(page, "Volume").fill("16000")
    press(page, "Go on")


def field(page: Page, label: str) -> Locator:
    """The field whose label begins so."""
    return page.get_by_role("textbox", name=label)


def choose_jobs(page: Page) -> None:
    """All the jobs offered but one."""
    expect(page.get_by_role("heading", name="Your year")).to_be_visible()
    one_by_one = page.locator("details", has_text="Agitate the carbon cartridges")
    one_by_one.locator("summary").tap()
    one_by_one.get_by_role("checkbox", name="Agitate the carbon cartridges").uncheck()
    press(page, "Begin the round")
    expect(page.get_by_role("heading", name="Today's round")).to_be_visible()
    expect(page.get_by_text("Agitate")).to_have_count(0)


def give_the_first_dose(page: Page) -> None:
    """Without a reading there is no amount; a reading that cannot be is told so; a right one brings the amount."""
    page.get_by_role("button", name="Buffer").tap()
    buffer = card(page, "Buffer")
    expect(buffer).to_contain_text("No KH has been measured yet: type a reading and the amount follows.")
    expect(buffer.get_by_role("button", name="Given")).to_have_count(0)
    kh = buffer.get_by_role("textbox", name="KH")
    for text, error in (
        ("400", "Between 0 and 25 °dKH."),
        ("-1", "Between 0 and 25 °dKH."),
        ("four", "A number, such as 5 or 5.5."),
        ("1,250", "1,250 could be two numbers. Right would be: 1250 or 1.25."),
    ):
        kh.fill(text)
        expect(buffer.get_by_role("alert")).to_have_text(error)
        expect(buffer.get_by_role("button", name="Given")).to_have_count(0)
    kh.fill("4,5")
    expect(buffer.get_by_role("alert")).to_have_count(0)
    expect(buffer).to_contain_text("Worked out from this reading.")
    press(buffer, "Given")
    expect(sync_line(page)).to_have_text(SENT)


def check_log(witness: Caller) -> None:
    """The log holds what was meant, and nothing of the slips."""
    pond = {
        one["entry"]["field"]: one["entry"]["value"] for one in witness.log("set") if one["entry"]["target"] == "pond"
    }
    assert pond["capful_g"] == 37.5
    assert (pond["volume_l"], pond["source_kh_dkh"], pond["zone"]) == (16_000, 0.5, "Europe/Berlin")
    assert "latitude" not in pond
    assert "units" not in pond
    assert [one["entry"]["value"] for one in witness.log("reading")] == [4.5]
    (dose,) = witness.log("tick", "dose")
    assert dose["entry"]["amount_g"] > 0
    assert dose["entry"]["amount_g"] % (37.5 / 4) == 0


def test_readings_typed_on_the_water_page_are_checked_before_they_are_kept(keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    phone.get_by_role("link", name="+ reading").tap()
    press(phone, "Save readings")
    expect(phone.get_by_role("alert")).to_have_text("Nothing is filled in yet.")
    for label, text in (("KH", "400"), ("pH", "x"), ("Nitrite", "0,05")):
        phone.get_by_role("textbox", name=label).fill(text)
    press(phone, "Save readings")
    expect(phone.get_by_role("textbox", name="KH")).to_have_accessible_description("Between 0 and 25 °dKH.")
    expect(phone.get_by_role("textbox", name="pH")).to_have_accessible_description("A number, such as 5 or 5.5.")
    before = keeper.log("reading")
    phone.get_by_role("textbox", name="KH").fill("5")
    phone.get_by_role("textbox", name="pH").fill("7,6")
    press(phone, "Save readings")
    expect(phone.get_by_role("heading", name="Water", exact=True)).to_be_visible()
    latest = phone.get_by_role("region", name="Latest readings")
    for shown in ("5 °dKH", "7.6", "0.05 mg/L"):
        expect(latest.get_by_role("listitem").filter(has_text=shown).filter(has_text="16:45")).to_be_visible()
    expect(sync_line(phone)).to_have_text(SENT)
    arrived = [(one["entry"]["quantity"], one["entry"]["value"]) for one in keeper.log("reading")[len(before) :]]
    assert sorted(value for _, value in arrived) == [0.05, 5, 7.6]


def test_signing_out_with_entries_waiting_warns_and_keeps_them(home: Home, keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    home.line.fail(server_error)
    phone.get_by_role("button", name="All well").tap()
    expect(sync_line(phone)).to_have_text("1 waiting, home is busy, trying again")
    phone.goto("/device")
    press(phone, "Sign out")
    warning = "1 entry has not been sent. What waits stays here until you sign in again."
    expect(phone.get_by_text(warning)).to_be_visible()
    press(phone, "Sign out and keep them waiting")
    expect(phone.get_by_role("heading", name="Sign in")).to_be_visible()
    home.line.clear()
    assert keeper.log("look") == []
    sign_in(phone)
    expect(sync_line(phone)).to_have_text(SENT)
    assert [one["entry"]["all_well"] for one in keeper.log("look")] == [True]


def test_the_example_opens_with_one_tap_on_its_own_machine(example_home: Home, browser: Browser) -> None:
    page = phone_in(browser, example_home.url, example_home.clock)  # in England it is an hour earlier
    page.goto("/")
    expect(page.get_by_text("An invented pond with six weeks of entries.")).to_be_visible()
    press(page, "Open the example")
    expect(page.get_by_role("heading", name="Tonight's round")).to_be_visible()
    expect(sync_line(page)).to_have_text("All sent 15:45")
    expect(card(page, "Covers on")).to_be_visible()
    page.get_by_role("link", name="Water").tap()
    expect(page.get_by_role("region", name="Latest readings").get_by_role("listitem").first).to_be_visible()
    page.context.close()
