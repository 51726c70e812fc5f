"""The Fish page of every pond, put together."""

import hashlib
from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta
from typing import Final

import msgspec
from msgspec import Struct
from msgspec.structs import replace

from evenwater.domain.entries import FishSeen, zone_named
from evenwater.domain.fish.biomass import mass_by_register, stock_of
from evenwater.domain.fish.degree_days import DegreeDays, WaterDays
from evenwater.domain.fish.feed_today import feed_today
from evenwater.domain.fish.fish_state import state_of
from evenwater.domain.fish.food_stock import food_left
from evenwater.domain.fish.grown import Grown, grown, weighings_of
from evenwater.domain.fish.length_weight import PondWeights
from evenwater.domain.fish.measures import measures_of
from evenwater.domain.fish.outlook import ClosedFish, FishStock, PhotoLine, PondFish, SeenLine
from evenwater.domain.fish.photo_lines import photo_lines
from evenwater.domain.fish.signs import patterns_of
from evenwater.domain.fish.stand_out import who_stands_out
from evenwater.domain.fish.stock import moves_of, stock_at
from evenwater.domain.fish.whereabouts import whereabouts
from evenwater.domain.fold import Facts, Known, feeds, of_kinds
from evenwater.domain.pond import Pond
from evenwater.domain.rounds.held.care import usual_set
from evenwater.domain.warmth.outlook import PondWarmth
from evenwater.domain.water.recent import recent_of
from evenwater.domain.water.volume_known import volume_known

SEEN_DAYS: Final = 60
_SEEN_OF_A_FISH: Final = 12


class Register(Struct, frozen=True):
    """Every fish of the household and what is known of it; `seen` newest first.

    `photos`: by fish. `closed`: those set up by mistake, by pond.
    """

    fish: tuple[Grown, ...]
    weights: PondWeights
    warmth: DegreeDays
    seen: tuple[tuple[str, SeenLine], ...]
    photos: Mapping[str, tuple[PhotoLine, ...]]
    closed: Mapping[str, tuple[ClosedFish, ...]]
    today: date


def register_of(known: Known, water: WaterDays, now: datetime) -> Register:
    """All that the pages of the ponds share.

    Args:
        known: All that stands in the log, measures and moves of fish however old.
        water: By pond, its mean temperature by date, as far back as fish were measured.
        now: The moment, aware; later facts are left out.
    """
    today, _ = known.civil_date(now)
    facts = Facts(one for one in known.facts if one.at <= now)
    fish = known.fish(today)
    told = measures_of(facts, frozenset(one.id for one in fish if one.count > 1))
    where, warmth = whereabouts(fish, facts), DegreeDays(water)
    return Register(
        fish=tuple(grown(one, where[one.id], told.get(one.id, ()), warmth, today) for one in fish),
        weights=PondWeights([one for of_fish in told.values() for one in weighings_of(of_fish)]),
        warmth=warmth,
        seen=_seen(facts),
        photos=photo_lines(facts),
        closed=_closed(known, frozenset(one.id for one in fish)),
        today=today,
    )


def fish_of(known: Known, pond: Pond, register: Register, warmth: PondWarmth, now: datetime) -> PondFish:
    """The Fish page of one pond.

    Args:
        known: All that stands in the log.
        pond: The pond as set for today.
        register: Every fish, from the same log.
        warmth: The pond's warmth as worked out.
        now: The moment, aware.
    """
    today = now.astimezone(zone_named(pond.zone)).date()
    here = [one for one in register.fish if one.where.here.get(pond.id)]
    gone = [one for one in register.fish if not one.where.here and one.where.last_pond == pond.id]
    stand_out = who_stands_out(here, today)
    states = [
        state_of(
            one,
            pond.id,
            register.weights,
            register.warmth,
            _seen_on(register, one.fish.id),
            register.photos.get(one.fish.id, ()),
            stand_out.get(one.fish.id),
            today,
        )
        for one in (*here, *gone)
    ]
    facts = Facts(one for one in known.of_pond(pond.id) if one.at <= now)
    stock = _stock(known, pond, register, now, today)
    seen = _lately(register, pond.id, today)
    fed = [(one.on, grams) for one, grams, _ in feeds(facts)]
    currency = pond.tariff.currency if pond.tariff else "€"
    page = PondFish(
        pond=pond.id,
        tag="",
        fish=tuple(states),
        stock=stock,
        feed=feed_today(known, pond, facts, warmth, stock, now),
        food=food_left(pond.food, fed, currency, today) if pond.food else None,
        seen=tuple(seen),
        patterns=patterns_of(seen, facts, {one.fish.id: one.fish.name for one in register.fish}, today),
        volume=volume_known(pond, recent_of(facts, now)),
        closed=register.closed.get(pond.id, ()),
    )
    return replace(page, tag=hashlib.sha256(msgspec.json.encode(page)).hexdigest()[:12])


def _stock(known: Known, pond: Pond, register: Register, now: datetime, today: date) -> FishStock:
    stock = stock_of(pond.id, register.fish, register.weights, stock_at(moves_of(known), pond.id, now, today), today)
    set_at = usual_set(known, pond.id, today)
    if not stock.by_register or set_at is None:
        return stock
    then = min(set_at.on, today)
    return replace(stock, mass_then_g=mass_by_register(pond.id, register.fish, register.weights, then, today))


def _closed(known: Known, open_fish: frozenset[str]) -> dict[str, tuple[ClosedFish, ...]]:
    """By pond, those that are off the list: what was recorded of them is told with their names all the same."""
    found: dict[str, tuple[ClosedFish, ...]] = {}
    for fish, told in sorted(known.settings.of_fish().items()):
        if fish not in open_fish:
            names = [value for entry, value in told if entry.field == "name"]
            pond = told[0][0].pond
            found[pond] = (*found.get(pond, ()), ClosedFish(fish, names[-1] if names else fish))
    return found


def _seen(facts: Facts) -> tuple[tuple[str, SeenLine], ...]:
    return tuple(
        (one.entry.pond, SeenLine(one.entry.id, one.at, one.on, one.entry.fish, one.entry.signs, one.entry.text))
        for one in reversed(of_kinds(facts, FishSeen))
        if isinstance(one.entry, FishSeen)
    )


def _seen_on(register: Register, fish: str) -> Sequence[SeenLine]:
    return [line for _, line in register.seen if fish in line.fish][:_SEEN_OF_A_FISH]


def _lately(register: Register, pond: str, today: date) -> list[SeenLine]:
    since = today - timedelta(days=SEEN_DAYS)
    return [line for of, line in register.seen if of == pond and line.on >= since]
