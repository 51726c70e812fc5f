"""Laws of the answers that hold for every log of readings."""

from datetime import timedelta

from hypothesis import given, settings
from hypothesis import strategies as st
from written_log import NOW, Log

from evenwater.domain.fold import fold
from evenwater.domain.pond import Pond, Range
from evenwater.domain.quantities import QUANTITIES
from evenwater.domain.water.judging import judge
from evenwater.domain.water.water_findings import water_findings

POND = Pond(id="main", volume_l=20_000, latitude=51.0)
ends = st.one_of(st.none(), st.floats(0, 50))
own_ranges = st.dictionaries(
    st.sampled_from(sorted(QUANTITIES)),
    st.builds(Range, act_below=ends, drift_below=ends, drift_above=ends, act_above=ends),
    max_size=4,
)


@st.composite
def logs(draw):
    log = Log()
    for _ in range(draw(st.integers(1, 14))):
        at = NOW - timedelta(minutes=draw(st.integers(0, 40 * 24 * 60)))
        kind = draw(st.integers(0, 9))
        if kind == 0:
            log.write("salt", at, salt_g=draw(st.floats(0, 1e6)))
        elif kind == 1:
            log.tick("heater", at.date(), "day", at, setting_c=draw(st.floats(0, 32)))
        else:
            one = QUANTITIES[draw(st.sampled_from(sorted(QUANTITIES)))]
            step = draw(st.one_of(st.none(), st.floats(0.001, 2)))
            point = draw(st.sampled_from([one.points[0], one.points[0], *one.points]))
            value = draw(st.floats(one.low, one.high))
            log.write("reading", at, quantity=one.quantity, value=value, step=step, point=point)
    return fold(log.entries).facts


@given(logs(), own_ranges)
@settings(max_examples=150, deadline=None)
def test_every_log_is_judged_and_act_now_says_what_to_do(facts, ranges):
    for one in judge(POND, ranges, facts, NOW):
        assert one.why
        assert bool(one.first) == (one.answer == "act_now")
        assert one.answer == "act_now" or not one.emergency
        assert (one.answer == "not_known") or one.stale_at > NOW


@given(logs())
@settings(max_examples=100, deadline=None)
def test_what_was_written_later_does_not_change_an_answer_given_earlier(facts):
    cut = len(facts) // 2
    moment = facts[cut].at
    assert judge(POND, {}, facts, moment) == judge(POND, {}, [one for one in facts if one.at <= moment], moment)


@given(logs())
@settings(max_examples=100, deadline=None)
def test_every_log_has_findings_without_a_stumble(facts):
    for one in water_findings(POND, facts, NOW):
        assert one.section == "water"
        assert one.big
        assert one.says.endswith(".")
