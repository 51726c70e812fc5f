"""A new keeper brings in the readings of their own spreadsheet, and the water is known the same evening."""

import re
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest
from journeys.home import Home
from journeys.household import EVENING, ZONE, Caller
from journeys.phones import make_ready_for_no_signal, sign_in
from journeys.round_screen import card, press
from journeys.water_screen import answer, open_water
from playwright.sync_api import Page, expect

HEAD = ["Mein Teich;;;;;;;", "gemessen von Marit;;;;;;;", "", "Datum;Zeit;KH;pH;Temp °C;NO3;Natron (Kappen);Bemerkung"]


def kept_by_hand(weeks: int = 8) -> list[str]:
    """Rows up to yesterday as people type them: every second day a test, most evenings two capfuls of buffer."""
    rows = []
    for ago in range(weeks * 7, 0, -1):
        on = (EVENING - timedelta(days=ago)).astimezone(ZONE)
        date = f"{on.day}.{on.month}.{on:%y}"
        kh = f"{5.5 - (ago % 4) / 4:.1f}".replace(".", ",")
        test = f"{kh};7,{4 + ago % 3};{8 + ago / 10:.1f};{20 + ago % 5}".replace(".", ",")
        rows.append(f"{date};18:05;{test};2;" if ago % 2 else f"{date};;;;;;2;")
        rows += [""] if ago % 7 == 0 else []
    return rows


def a_messy_file(folder: Path, more: tuple[str, ...] = ()) -> Path:
    """With title lines, decimal commas, mixed units, a formula, slips of the keyboard and Windows' own letters."""
    rows = kept_by_hand()
    at = 12
    date = rows[at].partition(";")[0]
    slips = [
        f"{date};18:05;=C12+1;7,5;9;21;;",
        f"{date};12:00;60;75;54 °F;<5;;Filter gespült",
        f"31.2.{date[-2:]};;5;;;;;",
    ]
    file = folder / "Teich.csv"
    file.write_bytes("\r\n".join([*HEAD, *rows[:at], *slips, *rows[at:], *more]).encode("cp1252"))
    return file


@pytest.fixture
def newcomer(home: Home) -> Caller:
    """Marit has set up her pond today; nothing was ever measured here."""
    caller = Caller(home.url, home.clock).begin()
    caller.set_up()
    caller.close()
    return caller


def bring(page: Page, file: Path) -> None:
    page.get_by_label("Your file").set_input_files(file)
    expect(page.get_by_role("heading", name="This is what I understood")).to_be_visible()


def press_keep(page: Page) -> None:
    page.get_by_role("button", name=re.compile("^Keep")).tap()
    expect(page.get_by_role("region", name="What now")).to_contain_text(re.compile(r"\d+ entries are kept\."))


def test_a_new_keeper_brings_in_a_messy_table_and_sees_trends_tonights_dose_and_why(
    newcomer: Caller, phone: Page, tmp_path: Path
) -> None:
    sign_in(phone)
    expect(card(phone, "Buffer")).to_contain_text("No KH has been measured yet")
    open_water(phone)
    phone.get_by_role("link", name="Bring the past in").tap()
    bring(phone, a_messy_file(tmp_path))

    expect(phone.get_by_label("Dates are")).to_have_value("dmy")
    nitrate = phone.get_by_role("listitem").filter(has_text="F NO3")
    expect(nitrate).to_contain_text("please check")
    expect(nitrate.get_by_label("Unit")).to_have_value("mg/L as NO₃")
    bad = phone.get_by_role("region", name="cells or lines cannot be read")
    expect(bad.get_by_role("listitem")).to_have_count(4)
    expect(bad.get_by_role("listitem").nth(0)).to_contain_text("Line 17, C KH")
    expect(bad.get_by_role("listitem").nth(0)).to_contain_text("A formula, not a number")
    expect(bad.get_by_role("listitem").nth(1)).to_contain_text("No KH can be 60 °dKH. Right would be: 0 to 25 °dKH.")
    expect(bad.get_by_role("listitem").nth(3)).to_contain_text("31.2.")

    press_keep(phone)
    phone.get_by_role("link", name="See the Water page").tap()
    expect(answer(phone, "KH")).to_contain_text("°dKH")
    chart = phone.get_by_role("img", name=re.compile(r"^KH from [\d.]+ on \d+ \w+ to [\d.]+ °dKH on"))
    expect(chart).to_be_visible()
    expect(answer(phone, "Water temperature")).to_be_visible()

    phone.goto("/round")
    buffer = card(phone, "Buffer")
    expect(buffer).to_contain_text("capful")
    expect(buffer).not_to_contain_text("No KH has been measured")
    buffer.get_by_text("Workings").tap()
    expect(buffer).to_contain_text("KH")
    expect(buffer).to_contain_text("Source:")


def test_the_same_file_twice_adds_nothing_and_next_months_only_what_is_new(
    newcomer: Caller, phone: Page, tmp_path: Path
) -> None:
    sign_in(phone)
    phone.goto("/past")
    bring(phone, a_messy_file(tmp_path))
    press_keep(phone)
    press(phone, "Another file")
    bring(phone, a_messy_file(tmp_path))
    expect(phone.get_by_text("There is nothing new in it to keep.")).to_be_visible()
    press(phone, "Another file")
    today = EVENING.astimezone(ZONE)
    bring(phone, a_messy_file(tmp_path, (f"{today.day}.{today.month}.{today:%y};12:00;6,0;7,5;8,2;20;;",)))
    expect(phone.get_by_text(re.compile("4 new"))).to_be_visible()


def test_an_import_is_taken_back_as_a_whole(newcomer: Caller, phone: Page, tmp_path: Path) -> None:
    sign_in(phone)
    phone.goto("/past")
    bring(phone, a_messy_file(tmp_path))
    press_keep(phone)
    press(phone, "Take all of it back: Teich.csv")
    press(phone, "Take back")
    expect(phone.get_by_text(re.compile("taken back on 24 Nov 2026"))).to_be_visible()
    open_water(phone)
    expect(phone.get_by_text("No readings yet.")).to_be_visible()


def test_a_choice_of_the_keeper_is_looked_at_again(newcomer: Caller, phone: Page, tmp_path: Path) -> None:
    sign_in(phone)
    phone.goto("/past")
    file = tmp_path / "pond.csv"
    file.write_text("Date,KH\n3/4/2026,5\n5/6/2026,5.5\n")
    bring(phone, file)
    expect(phone.get_by_text("No day above the 12th shows which is the month")).to_be_visible()
    expect(phone.get_by_role("table").first).to_contain_text("3 Apr 2026 to 5 Jun 2026")
    phone.get_by_label("Dates are").select_option("mdy")
    expect(phone.get_by_role("table").first).to_contain_text("4 Mar 2026 to 6 May 2026")
    phone.get_by_label("Taken for B KH").select_option("gh_dgh")
    expect(phone.get_by_role("table").first).to_contain_text("GH")


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"PK\x03\x04" + bytes(50), "This is a workbook, not a table of text. Right would be: save it as CSV first"),
        (b"", "The file is empty."),
        (b"Date;KH\n3.11.2026;5\n\0\0", "The file holds bytes that are no text"),
    ],
)
def test_what_cannot_be_read_is_said(newcomer: Caller, phone: Page, tmp_path: Path, content: bytes, said: str) -> None:
    sign_in(phone)
    phone.goto("/past")
    file = tmp_path / "pond.csv"
    file.write_bytes(content)
    phone.get_by_label("Your file").set_input_files(file)
    expect(phone.get_by_role("alert")).to_contain_text(said)


def test_rows_may_be_pasted_and_a_table_without_a_date_says_so(newcomer: Caller, phone: Page) -> None:
    sign_in(phone)
    phone.goto("/past")
    phone.get_by_text("Or paste rows").tap()
    phone.get_by_label("Rows copied from the spreadsheet").fill("Who\tKH\tpH\nMarit\t5\t7\n")
    press(phone, "Read these rows")
    expect(
        phone.get_by_text("No column holds the date. Right would be: choose the column that holds it.")
    ).to_be_visible()
    expect(phone.get_by_text("There is nothing new in it to keep.")).to_be_visible()


def test_without_signal_the_page_says_that_it_needs_it(newcomer: Caller, new_phone: Callable[..., Page]) -> None:
    phone = new_phone()
    sign_in(phone)
    make_ready_for_no_signal(phone)
    phone.context.set_offline(True)
    phone.goto("/past")
    expect(phone.get_by_text("This needs signal from home, and there is none.")).to_be_visible()
