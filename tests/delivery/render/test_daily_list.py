"""The daily list and alarms in words: what the app shows, and nothing that anybody's words could break out of."""

from datetime import timedelta
from zoneinfo import ZoneInfo

from written_log import NOW, Log, starter

from evenwater.delivery.render.alarm import Telling, alarm_message, notice_message
from evenwater.delivery.render.daily_list import daily_list
from evenwater.delivery.render.job_lines import much_words, when_words
from evenwater.delivery.render.written import Written, one_line
from evenwater.domain.contact import Contact
from evenwater.domain.fold import fold
from evenwater.domain.rounds.heard.alarms import Concern
from evenwater.domain.rounds.today import jobs_on, round_now

EVIL = '<script>alert("1")</script>'


def pond(**more: object) -> Log:
    log = Log()
    log.pond(volume_l=20_000, capful_g=27, **more)
    return log


def listed(log: Log, told: tuple[str, ...] = ()) -> Written:
    plan, facts = log.plan(), fold(log.entries).facts
    jobs = jobs_on(plan.days, facts, plan.log_seq, NOW.date())
    states = round_now(plan.days, facts, plan.log_seq, plan.good_until, NOW, NOW.date())
    written = daily_list(plan, jobs, states, NOW.date(), NOW, told)
    zone = ZoneInfo(plan.zone)
    for job, state in zip(jobs, states, strict=True):
        for part in (job.text, when_words(job, state, zone, NOW), much_words(job, state, plan.ponds[0])):
            assert part in written.text or state.state not in ("upcoming", "due", "late")
    return written


def test_every_job_stands_with_its_time_amount_and_reason_in_walking_order():
    log = pond()
    for name in ("cover", "buffer", "heater"):
        log.job(starter(name))
    log.kh(4.5, NOW - timedelta(hours=1))
    written = listed(log)
    assert written.subject == "Tuesday's round: 3 jobs, 10 min"
    assert "capfuls" in written.text and "Few readings yet" in written.text
    assert "Gloves and eye protection" in written.text
    assert written.text.index("Covers on") < written.text.index("Buffer")
    for line in written.text.splitlines():
        assert one_line(line.lstrip(" -"), 2000) in written.text


def test_a_day_without_jobs_says_so():
    written = listed(pond())
    assert written.subject == "Tuesday's round: nothing to do"
    assert "Tuesday 3 November: nothing to do." in written.text


def test_what_was_done_is_told_apart_and_not_counted():
    log = pond()
    log.job(starter("cover"))
    log.tick("cover", NOW.date(), "off", NOW - timedelta(hours=8))
    written = listed(log)
    assert written.subject == "Tuesday's round: 1 job, 3 min"
    assert "NOT NOW\n- Covers off: done" in written.text


def test_what_else_there_is_to_know_stands_first():
    written = listed(pond(), told=("Buffer was given twice.",))
    assert written.text.index("given twice") < len("Tuesday 3 November: nothing to do.") + 40


def test_words_of_people_become_neither_markup_nor_lines_of_their_own():
    log = pond()
    log.job(starter("cover"), name=f"Covers{EVIL}", place="<b>here</b>", cautions=[f"Mind\r\nBcc: {EVIL}"])
    written = listed(log, told=(f"{EVIL}\nSubject: no",))
    assert "<script>" not in written.html and "<b>here" not in written.html
    assert "\nBcc:" not in written.text and "\nSubject:" not in written.text


def concern(**more: object) -> Concern:
    usual = {
        "about": "a",
        "what": "job",
        "pond": "main",
        "at": NOW,
        "title": "Not done: Covers on",
        "says": "By 16:00.",
    }
    return Concern(**usual | more)  # type: ignore[arg-type]


def test_an_alarm_says_what_to_do_first_whom_to_ring_and_who_hears_next():
    ring = [Contact("Vet", "+49 30 1234")]
    written = alarm_message([Telling(concern(act_now=True, first=("Shut the tap.", "More air.")), "Tove")], ring)
    assert "1. Shut the tap.\n2. More air." in written.text
    assert "Vet: +49 30 1234" in written.text and "Vet: +49 30 1234" in written.html
    assert "If nobody is on it, Tove hears of it 30 minutes after you." in written.text
    calm = alarm_message([Telling(concern())], ring)
    assert "Vet" not in calm.text and "hears" not in calm.text


def test_whom_to_ring_stands_with_what_cannot_wait_and_who_hears_next_with_each_where_they_differ():
    gasping = concern(title="Fish gasping", act_now=True)
    later = [Telling(concern(title=f"Not done: {name}"), who) for name, who in (("Covers", "Tove"), ("Dose", None))]
    written = alarm_message([Telling(gasping, "Tove"), *later], [Contact("Vet", "+49 30 1234")])
    order = ["Fish gasping.", "Tove hears", "Vet:", "Not done: Covers.", "Tove hears", "Not done: Dose."]
    at = 0
    for words in order:
        at = written.text.index(words, at) + 1
    assert written.subject == "Fish gasping, and 2 more" and written.text.count("Tove hears") == 2


def test_a_note_in_an_alarm_stays_a_note():
    written = alarm_message([Telling(concern(title=f"T{EVIL}\r\nBcc: x", says=f"S{EVIL}", first=(EVIL,)), EVIL)], [])
    assert "<script>" not in written.html
    assert written.subject == f"T{EVIL} Bcc: x"
    assert "<script>" not in notice_message(f"Twice: {EVIL}").html


def test_a_line_holds_no_break_of_any_kind_and_no_more_than_it_may():
    assert one_line("a\r\nb\x00c\u2028d\te") == "a b c d e"
    assert one_line("x" * 300) == "x" * 200
