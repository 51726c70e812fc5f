"""The printable round: the same jobs, amounts and reasons, and nothing a name or note could break out of."""

from datetime import timedelta

import pytest
from written_log import NOW, Log, starter

from evenwater.delivery.render.printable import amount_words, printable_round, sign_in_page
from evenwater.domain.fold import fold
from evenwater.domain.rounds.today import jobs_on, round_now


@pytest.mark.parametrize(
    ("amount_g", "capful_g", "words"),
    [
        (67.5, 27.0, "2½ capfuls · 68 g"),
        (6.75, 27.0, "¼ capful · 7 g"),
        (27.0, 27.0, "1 capful · 27 g"),
        (108.0, 27.0, "4 capfuls · 108 g"),
        (114.75, 27.0, "115 g · 4¼ capfuls"),
        (50.0, None, "50 g"),
    ],
)
def test_amounts_read_as_one_would_say_them(amount_g, capful_g, words):
    assert amount_words(amount_g, capful_g) == words


def printed(log: Log) -> str:
    plan = log.plan()
    facts = fold(log.entries).facts
    now = round_now(plan.days, facts, plan.log_seq, plan.good_until, NOW, NOW.date())
    return printable_round(plan, jobs_on(plan.days, facts, plan.log_seq, NOW.date()), now, NOW.date())


def test_the_page_shows_job_amount_reason_and_first_steps():
    log = Log()
    log.pond(volume_l=20_000, capful_g=27)
    log.job(starter("buffer"))
    log.kh(4.5, NOW - timedelta(hours=1))
    page = printed(log)
    assert "☐ Buffer" in page
    assert "capfuls" in page
    assert "Few readings yet" in page
    assert "Dissolve in a bucket" in page
    assert "Fish gasping at the surface" in page


def test_words_of_people_cannot_become_markup():
    log = Log()
    log.pond(volume_l=20_000, ring=[{"name": "<script>alert(1)</script>", "tel": "+32 1 23 45"}])
    log.job(starter("cover"), place="<b>here</b>")
    page = printed(log)
    assert "<script>" not in page
    assert "<b>here</b>" not in page
    assert "&lt;script&gt;" in page


def test_the_form_says_what_was_wrong():
    assert "not right" in sign_in_page("the name or the passphrase is not right")
    assert "role=alert" not in sign_in_page(None)
