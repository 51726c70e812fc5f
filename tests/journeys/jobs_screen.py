"""The Jobs page and a job's form as a person finds them on the screen: groups and sections by their title."""

from playwright.sync_api import Locator, Page, expect


class Taps:
    """A thumb that counts: each button, switch and field touched is one tap, whatever is typed."""

    def __init__(self, page: Page) -> None:
        self.page, self.count = page, 0

    def on(self, target: Locator) -> None:
        """Tap it."""
        target.tap()
        self.count += 1

    def button(self, name: str) -> None:
        """Tap the button of exactly that name."""
        self.on(self.page.get_by_role("button", name=name, exact=True))

    def link(self, name: str) -> None:
        """Tap the link whose name begins so."""
        self.on(self.page.get_by_role("link", name=name).first)

    def type(self, label: str, text: str) -> None:
        """Tap the field of that label and type."""
        field = self.page.get_by_label(label, exact=label == "Name")
        self.on(field)
        field.fill(text)


def open_group(page: Page, name: str) -> Locator:
    """A group of the Jobs page, unfolded."""
    group = page.locator("details.job-group").filter(has=page.locator("summary b", has_text=name))
    if group.get_attribute("open") is None:
        group.locator("summary").tap()
    return group


def open_job(page: Page, job: str) -> None:
    """The form of a standing job, by its id."""
    page.goto(f"/jobs?job={job}")
    expect(page.get_by_role("button", name="Save", exact=True)).to_be_visible()


def section(page: Page, title: str) -> Locator:
    """A section of a job's form, unfolded."""
    fold = page.locator("details.fold-set").filter(has=page.locator("summary b", has_text=title))
    if fold.get_attribute("open") is None:
        fold.locator("summary").tap()
    return page.get_by_role("group", name=title, exact=True)


def summary(page: Page, title: str) -> Locator:
    """What a folded section says of itself."""
    return page.locator("details.fold-set > summary").filter(has=page.locator("b", has_text=title))
