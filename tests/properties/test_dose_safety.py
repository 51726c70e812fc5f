"""What no plan may do whatever was read: raise KH past its limit, or set ammonia free past its limit."""

from datetime import timedelta
from math import log10

from hypothesis import given, settings
from hypothesis import strategies as st
from written_log import NOW, Log, starter

from evenwater.domain.fold import fold
from evenwater.domain.learn.estimate import advance, dosed
from evenwater.domain.learn.from_log import estimate_of
from evenwater.domain.rounds.today import amount_now
from evenwater.domain.units import NH3_PER_NH3_N
from evenwater.domain.water.ammonia import unionised_fraction
from evenwater.domain.water.buffer import rise_dkh

HOUR, DAY = timedelta(hours=1), timedelta(days=1)
NH3_LIMIT, LEAST_KH = 0.025, 0.25
SLACK_DKH = 1e-4
halves = st.integers(0, 20).map(lambda n: n / 2)


@st.composite
def logs(draw: st.DrawFn) -> Log:
    """A pond with a few readings of KH and, mostly, tests of ammonia, pH and warmth, of today or some days old."""
    log = Log()
    log.pond(
        volume_l=draw(st.sampled_from((1000, 8000, 20_000, 60_000))),
        kh_rise_limit_dkh=draw(st.sampled_from((0.3, 0.5, 1.0))),
        kh_target_dkh=draw(st.sampled_from((4.0, 5.0, 8.0))),
        inflow_l_per_day=draw(st.sampled_from((0, 500))),
        source_kh_dkh=draw(st.sampled_from((0.0, 3.0, 12.0))),
    )
    if draw(st.booleans()):
        log.write(
            "set", NOW - 50 * DAY, target="pond", field="capful_g", value=draw(st.sampled_from((5.0, 27.0, 150.0)))
        )
    log.job(starter("buffer"))
    for ago in sorted(draw(st.lists(st.integers(0, 20), max_size=5, unique=True)), reverse=True):
        log.kh(draw(halves), NOW - ago * DAY - 2 * HOUR)
    for ago in draw(st.lists(st.integers(1, 40), max_size=3)):
        log.write(
            "dose", NOW - ago * HOUR, substance="sodium_bicarbonate", amount_g=draw(st.sampled_from((20.0, 300.0)))
        )
    tested = NOW - draw(st.sampled_from((HOUR, DAY + HOUR, 6 * DAY)))
    tan, warmth_c = round(draw(st.floats(0, 5)), 2), round(draw(st.floats(2, 29)), 1)
    shy = draw(st.sampled_from((None, 0.02, 0.06, 0.1, 0.2, 0.3)))
    ph = draw(st.floats(6, 9)) if shy is None else ph_at_the_limit(tan, warmth_c) - shy
    for quantity, value in (("tan_mg_n_per_l", tan), ("ph", min(9.5, max(6.0, ph))), ("temperature_c", warmth_c)):
        if draw(st.integers(0, 9)):
            log.write("reading", tested, quantity=quantity, value=value)
    log.entries.sort(key=lambda one: one.order)
    return log


def ph_at_the_limit(tan: float, warmth_c: float) -> float:
    """By trial: the pH, to a thousandth, at which NH3 is just under its limit."""
    allowed = (n / 1000 for n in range(9500, 6000, -1))
    return next((ph for ph in allowed if tan * unionised_fraction(warmth_c, ph) * NH3_PER_NH3_N <= NH3_LIMIT), 6.0)


def latest(log: Log, quantity: str):
    return next((one for one in reversed(log.entries) if getattr(one.entry, "quantity", "") == quantity), None)


class Watch:
    """The pond's figures, and what NH3 would be after a rise from a KH, as far as it is known."""

    def __init__(self, log: Log) -> None:
        self.known = fold(log.entries)
        self.pond = self.known.ponds(NOW.date())[0]
        self.facts = self.known.of_pond("main")
        self.tan, self.ph, self.warmth = (latest(log, name) for name in ("tan_mg_n_per_l", "ph", "temperature_c"))
        at_ph = estimate_of(self.pond, self.facts, "kh_dkh", self.ph.at) if self.ph else None
        self.base = at_ph.level if at_ph else None

    def rise(self, grams: float) -> float:
        return rise_dkh(self.pond.volume_l, grams, self.pond.substance, self.pond.purity_fraction)

    def nh3_after(self, kh: float, rise: float) -> float:
        if not (self.tan and self.ph and self.warmth):
            return 0.0
        kh = max(LEAST_KH, kh)
        base = kh if self.base is None else min(kh, max(LEAST_KH, self.base))
        ph = min(10.0, self.ph.entry.value + log10((kh + rise) / base))
        fraction = unionised_fraction(self.warmth.entry.value, max(6.0, ph))
        return self.tan.entry.value * fraction * NH3_PER_NH3_N

    def check(self, kh: float, grams: float) -> None:
        rise = self.rise(grams)
        assert rise <= self.pond.kh_rise_limit_dkh + SLACK_DKH
        if rise > SLACK_DKH:
            assert self.nh3_after(kh, rise - SLACK_DKH) <= NH3_LIMIT + 1e-9


def doses_of(plan):
    return [job for day in plan.days for job in day.jobs if job.shape == "dose" and job.unrounded_g is not None]


@settings(max_examples=100)
@given(logs(), st.lists(st.integers(0, 2500).map(lambda n: n / 100), min_size=4, max_size=8))
def test_no_reading_on_any_day_of_the_plan_leads_past_a_limit(log, values):
    watch, plan = Watch(log), log.plan()
    for job in doses_of(plan):
        for value in (*values, 0.0, 2.4, 2.5, 2.6, 25.0):
            at = job.opens_at + HOUR
            phone = Log()
            phone.entries = list(log.entries)
            reading = phone.kh(value, at - HOUR / 2)
            if job.chart is None:
                assert job.state == "held_back" and job.amount_g == 0.0
                continue
            facts = [*watch.facts, reading]
            grams = amount_now(job.chart, job, facts, len(log.entries), at).amount_g
            watch.check(value, grams)
            low = value <= 2.5 or (watch.ph is not None and watch.ph.entry.value < 6.8)
            assert not low or watch.rise(grams) <= 0.5 + SLACK_DKH
            fresh = watch.tan is not None and watch.tan.at >= job.opens_at - DAY
            assert fresh or value >= 2.5 or grams == 0.0


@settings(max_examples=100)
@given(logs())
def test_followed_without_a_reading_for_a_week_the_plan_leads_past_no_limit(log):
    watch = Watch(log)
    state = estimate_of(watch.pond, watch.facts, "kh_dkh", NOW)
    for job in doses_of(log.plan()):
        if state is None:
            assert job.amount_g == 0.0
            continue
        state = advance(state, job.opens_at)
        watch.check(state.level, job.amount_g)
        state = dosed(state, watch.rise(job.amount_g))


@settings(max_examples=40)
@given(logs())
def test_planned_anew_each_evening_no_day_passes_the_limit(log):
    limit = Watch(log).pond.kh_rise_limit_dkh
    for day in range(6):
        at = NOW + day * DAY
        plan = log.plan(at)
        for job in doses_of(plan)[:1]:
            facts = fold(log.entries).of_pond("main")
            if job.chart is None or job.due_on != at.date():
                continue
            grams = amount_now(job.chart, job, facts, len(log.entries), at).amount_g
            rise = Watch(log).rise
            in_a_day = grams + sum(
                one.entry.amount_g for one in facts if hasattr(one.entry, "amount_g") and at - DAY < one.at <= at
            )
            assert grams == 0.0 or rise(in_a_day) <= limit + SLACK_DKH
            if grams:
                log.tick("buffer", at.date(), "dusk", at, amount_g=grams, substance="sodium_bicarbonate")
