"""The printable round: the same jobs, amounts and reasons, and nothing a name or note could break out of."""

from datetime import timedelta

from written_log import NOW, Log, starter

from evenwater.delivery.render.printable import printable_round, sign_in_page
from evenwater.domain.fold import fold
from evenwater.domain.rounds.today import jobs_on, round_now


def printed(log: Log) -> str:
    plan = log.plan()
    facts = fold(log.entries).facts
    now = round_now(plan.days, facts, plan.log_seq, plan.good_until, NOW, NOW.date())
    return printable_round(plan, jobs_on(plan.days, facts, plan.log_seq, NOW.date()), now, NOW.date(), NOW)


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
