"""A pond's book, joined."""

from datetime import date, timedelta

from written_log import NOW, Log, starter

from evenwater.domain.book.outlook import Effect
from evenwater.domain.book.page import book_of
from evenwater.domain.book.shown_records import Shown
from evenwater.domain.fold import fold
from evenwater.domain.rounds.warmth_now import warmth_now
from evenwater.domain.warmth.pond_air import Samples

from .shown_log import trend

EFFECT = Effect(entry="e", on=date(2026, 3, 1), text="Valve moved", kit=None, lines=())


def book(log: Log, shown: Shown, now=NOW, effects=()):
    known = fold(log.entries)
    (pond,) = known.ponds(now.date())
    return book_of(known, pond, shown, warmth_now(known, pond, Samples(), now), {}, effects, now)


def kept() -> Log:
    log = Log()
    log.pond(volume_l=20_000, kit=[{"id": "pump", "name": "Pump", "fitted_on": "2026-10-04"}])
    log.job(starter("agitate"), season={"from": "10-01", "to": "11-30"})
    log.kh(5.0, NOW - timedelta(hours=2))
    return log


FORETOLD = Shown(trends={"kh_dkh": [trend(NOW - timedelta(days=1), (NOW, 4.5, 5.1, 5.5))]})


def test_kit_scores_the_year_and_changes_stand_in_one_book():
    found = book(kept(), FORETOLD, effects=[EFFECT])
    assert [one.id for one in found.kit] == ["pump"]
    assert [one.subject for one in found.scores] == ["trend/kh_dkh"]
    assert [one.standing_job for one in found.year] == ["agitate"]
    assert found.effects == (EFFECT,)


def test_the_tag_is_the_same_for_the_same_book_all_day_and_another_when_it_changed():
    log = kept()
    first = book(log, FORETOLD)
    assert book(log, FORETOLD, NOW + timedelta(hours=3)).tag == first.tag
    assert book(log, FORETOLD, NOW + timedelta(days=1)).tag != first.tag
    log.tick("agitate", NOW.date(), "midday", NOW - timedelta(hours=1))
    assert book(log, FORETOLD).tag != first.tag


def test_what_lies_after_now_is_not_counted():
    log = kept()
    log.kh(4.0, NOW + timedelta(hours=1))
    assert book(log, FORETOLD).scores[0].rows[0].measured == 5.0
