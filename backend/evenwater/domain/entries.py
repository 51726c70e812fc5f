"""The facts that travel: what somebody did, measured, saw or decided, once written never changed.

Rules of this file:

- One envelope, one tagged union. `kind` is the tag; a kind's own fields stand beside the envelope's.
- An entry is append-only. A mistake is mended by a later entry (`take_back`), and both stay.
- `happened_at` is what the person meant, with the offset they lived in. Order never rests on it alone: the server
  places an entry by the phone's clock corrected for its skew (`place`), and marks what cannot be true.
- A newer version or an unknown kind is not an error but `Deferred`: kept, and read after the next upgrade.
- Every field a device may send is checked here, once. What passed is true to its docstring everywhere else.
"""

from datetime import UTC, date, datetime, timedelta
from functools import lru_cache
from typing import Annotated, Literal, get_args
from zoneinfo import ZoneInfo

import msgspec
from msgspec import Meta, Struct

from evenwater.domain.errors import Contradiction, DomainError, Missing, NotOneOf, OutOfRange
from evenwater.domain.quantities import QUANTITIES, Point, WaterPoint

VERSION = 1

Uuid = Annotated[str, Meta(pattern=r"^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}\Z")]
Slug = Annotated[str, Meta(pattern=r"^[a-z0-9][a-z0-9-]{0,39}\Z")]
Version = Annotated[int, Meta(ge=1, le=1_000_000)]
Words = Annotated[str, Meta(min_length=1, max_length=2000)]
Line = Annotated[str, Meta(min_length=1, max_length=200)]
Moment = Annotated[datetime, Meta(tz=True)]
Amount = Annotated[float, Meta(ge=0, le=100_000)]
Substance = Literal["sodium_bicarbonate", "potassium_bicarbonate"]
Part = Literal["flow", "air", "level", "fish"]
KitService = Literal["carbon_agitated", "carbon_changed", "membrane_flushed", "membrane_cleaned", "membrane_changed"]
StartUpStep = tuple[Annotated[float, Meta(ge=0, le=1440)], Annotated[float, Meta(ge=0, le=60_000)]]


class Envelope(Struct, frozen=True, kw_only=True, tag_field="kind"):
    """What every entry says: which pond, when it happened, on which device, by whom."""

    id: Uuid
    v: Version
    pond: Slug
    happened_at: Moment
    local_date: date
    zone: Annotated[str, Meta(max_length=64)]
    recorded_at: Moment
    device: Uuid
    author: Uuid


class Reading(Envelope, frozen=True, kw_only=True, tag="reading", forbid_unknown_fields=True):
    """A measured value of one quantity, in the unit of QUANTITIES; `step` is the kit's."""

    quantity: str
    value: float
    point: Point = "pond"
    step: Annotated[float, Meta(ge=1e-18, le=100_000)] | None = None


class Tick(Envelope, frozen=True, kw_only=True, tag="tick", forbid_unknown_fields=True):
    """A job done. On a dose job `amount_g` [g] makes it the dose itself; on a setting job `setting_c` [°C]."""

    standing_job: Slug
    due_on: date
    slot: Slug
    amount_g: Amount | None = None
    substance: Substance | None = None
    setting_c: Annotated[float, Meta(ge=0, le=40)] | None = None
    override_reason: Words | None = None


class Dose(Envelope, frozen=True, kw_only=True, tag="dose", forbid_unknown_fields=True):
    """Buffer given though no job asked for it [g]."""

    substance: Substance
    amount_g: Amount


class WaterChange(Envelope, frozen=True, kw_only=True, tag="water_change", forbid_unknown_fields=True):
    """Water let out and as much put in [L], of the kind that is found at `point`; "pond" is another pond's water."""

    volume_l: Annotated[float, Meta(gt=0, le=1_000_000)]
    point: WaterPoint = "mains"


class Feed(Envelope, frozen=True, kw_only=True, tag="feed", forbid_unknown_fields=True):
    """Food given [g]; without a protein share the pond's usual food."""

    feed_g: Amount
    protein_fraction: Annotated[float, Meta(ge=0, le=0.7)] | None = None


class Salt(Envelope, frozen=True, kw_only=True, tag="salt", forbid_unknown_fields=True):
    """Sodium chloride put into the water [g]."""

    salt_g: Annotated[float, Meta(ge=0, le=10_000_000)]
    purity_fraction: Annotated[float, Meta(gt=0.5, le=1)] = 1.0


class Service(Envelope, frozen=True, kw_only=True, tag="service", forbid_unknown_fields=True):
    """Work on the kit that no job asked for; a tick of a standing job with that `service` says the same."""

    service: KitService


class StartUp(Envelope, frozen=True, kw_only=True, tag="start_up", forbid_unknown_fields=True):
    """Permeate after the membrane began to run: (minutes since, conductivity at 25 °C [µS/cm]), and its flow."""

    steps: Annotated[tuple[StartUpStep, ...], Meta(min_length=1, max_length=60)]
    flow_l_per_min: Annotated[float, Meta(gt=0, le=1000)] | None = None


class CoverMove(Envelope, frozen=True, kw_only=True, tag="cover", forbid_unknown_fields=True):
    """The cover moved though no job asked for it: how much of the surface lies under it now [0 to 1]."""

    covered_fraction: Annotated[float, Meta(ge=0, le=1)]


class AirForecast(Envelope, frozen=True, kw_only=True, tag="air_forecast", forbid_unknown_fields=True):
    """What the forecast says, as somebody read it: the low of the night that follows `on`, the next day's high [°C]."""

    on: date
    low_c: Annotated[float, Meta(ge=-40, le=40)]
    high_c: Annotated[float, Meta(ge=-40, le=50)] | None = None


class NotDone(Envelope, frozen=True, kw_only=True, tag="not_done", forbid_unknown_fields=True):
    """A job was not done, and why."""

    standing_job: Slug
    due_on: date
    slot: Slug
    reason: Words


class Look(Envelope, frozen=True, kw_only=True, tag="look", forbid_unknown_fields=True):
    """All well at a glance, or what was not."""

    all_well: bool
    wrong: tuple[Part, ...] = ()
    trouble: Slug | None = None
    text: Words | None = None


class Note(Envelope, frozen=True, kw_only=True, tag="note", forbid_unknown_fields=True):
    """Free words."""

    text: Words


class Set(Envelope, frozen=True, kw_only=True, tag="set", forbid_unknown_fields=True):
    """A setting of the pond, of a standing job or of a quantity's range, from a date on (None: it was always so)."""

    target: Annotated[str, Meta(pattern=r"^(pond|job/[a-z0-9][a-z0-9-]{0,39}|range/[a-z0-9_]{1,40})\Z")]
    field: Slug | Annotated[str, Meta(pattern=r"^[a-z0-9_]{1,40}\Z")]
    value: msgspec.Raw
    effective_from: date | None = None


class TakeBack(Envelope, frozen=True, kw_only=True, tag="take_back", forbid_unknown_fields=True):
    """Withdraws an earlier entry; both stay in the log."""

    entry: Uuid


Entry = (
    Reading
    | Tick
    | Dose
    | NotDone
    | Look
    | Note
    | Set
    | TakeBack
    | WaterChange
    | Feed
    | Salt
    | Service
    | StartUp
    | CoverMove
    | AirForecast
)
KINDS = frozenset(str(kind.__struct_config__.tag) for kind in get_args(Entry))


class Deferred(Struct, frozen=True):
    """An entry written by a newer app: kept as it came, read after the next upgrade."""

    id: str
    kind: str
    v: int


class Placed(Struct, frozen=True):
    """Where an entry stands in time: `at` for folding, `on` its civil date at the pond."""

    at: datetime
    on: date
    time_doubtful: bool


class LoggedEntry(Struct, frozen=True):
    """An entry with what the server saw when it came."""

    seq: int
    received_at: datetime
    placed_at: datetime
    placed_on: date
    skew_s: float
    time_doubtful: bool
    entry: Entry


class _Head(Struct, frozen=True):
    """Just enough of any entry, of any age, to know whether we can read it."""

    id: Uuid
    v: Version
    kind: str


_decode_entry = msgspec.json.Decoder(Entry).decode
_decode_head = msgspec.json.Decoder(_Head).decode


def read_entry(content: bytes | msgspec.Raw) -> Entry | Deferred:
    """One entry from its JSON, every field checked.

    Raises:
        msgspec.ValidationError, msgspec.DecodeError: not the shape of an entry.
        DomainError: the right shape with a value that cannot be.
    """
    try:
        # As text, because what the decoder passes over (a setting's value, a newer app's fields) may be no UTF-8.
        return _read(bytes(content).decode())
    except UnicodeDecodeError as error:
        raise msgspec.DecodeError(f"not UTF-8 (byte {error.start})") from error
    except RecursionError as error:
        raise msgspec.DecodeError("nested too deeply") from error


def _read(text: str) -> Entry | Deferred:
    try:
        entry = _decode_entry(text)
    except msgspec.ValidationError:
        head = _decode_head(text)
        if head.v > VERSION or head.kind not in KINDS:
            return Deferred(head.id, head.kind, head.v)
        raise
    if entry.v > VERSION:
        return Deferred(entry.id, str(entry.__struct_config__.tag), entry.v)
    check_entry(entry)
    return entry


def check_entry(entry: Entry) -> None:
    """Hold what types cannot say: ranges by quantity, zone and date that fit the moment.

    Raises:
        DomainError: the first thing found wrong.
    """
    _check_time(entry)
    if isinstance(entry, Tick | NotDone):
        _check_year("due_on", entry.due_on)
    if isinstance(entry, Reading):
        _check_reading(entry)
    elif isinstance(entry, AirForecast):
        _check_year("on", entry.on)
        if entry.high_c is not None and entry.high_c < entry.low_c:
            raise Contradiction(
                f"the high is {entry.high_c:g} °C, below the low", where="high_c", right=f"{entry.low_c:g} or more"
            )
    elif isinstance(entry, Tick) and entry.amount_g is not None and entry.substance is None:
        raise Missing("a tick with an amount names no substance", where="substance", right="sodium_bicarbonate")
    elif isinstance(entry, Look) and entry.all_well and (entry.wrong or entry.trouble):
        raise Contradiction(
            "all well, and something wrong, in one look", where="all_well", right="false when anything is wrong"
        )
    elif isinstance(entry, TakeBack) and entry.entry == entry.id:
        raise Contradiction("an entry takes itself back", where="entry", right="the id of an earlier entry")


def _check_reading(entry: Reading) -> None:
    quantity = QUANTITIES.get(entry.quantity)
    if quantity is None:
        raise NotOneOf("quantity", entry.quantity, QUANTITIES)
    if not quantity.low <= entry.value <= quantity.high:
        error = OutOfRange(quantity.label, entry.value, quantity.low, quantity.high, quantity.unit)
        error.where = "value"
        raise error
    if entry.point not in quantity.points:
        raise NotOneOf("point", entry.point, quantity.points)


@lru_cache(maxsize=700)
def zone_named(name: str) -> ZoneInfo:
    """The IANA time zone of that name.

    Raises:
        DomainError: no such zone.
    """
    try:
        return ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        raise DomainError(
            f"{name!r} is no time zone", where="zone", right="an IANA name, such as Europe/Berlin"
        ) from None


def _check_time(entry: Entry) -> None:
    zone = zone_named(entry.zone)
    _check_year("happened_at", entry.happened_at)
    # A day either side: the phone's table of time zones may be older than ours.
    days = (entry.happened_at.astimezone(zone).date() - entry.local_date).days
    if abs(days) > 1:
        raise Contradiction(
            f"local_date is {entry.local_date}, {abs(days)} days from the moment itself",
            where="local_date",
            right="the date of happened_at at the pond",
        )


def _check_year(where: str, when: date) -> None:
    # At either end of the calendar there is no room for a time zone's offset.
    if not 1900 < when.year < 9000:
        raise DomainError(f"{where} is in the year {when.year}", where=where, right="a year people live in")


def to_millisecond(moment: datetime) -> datetime:
    """The moment as it travels and is kept: cut to the millisecond, so that all order by the same one."""
    beyond_us = moment.microsecond % 1000
    return moment.replace(microsecond=moment.microsecond - beyond_us) if beyond_us else moment


_BEFORE_PHONES = datetime(2000, 1, 1, tzinfo=UTC)
_AHEAD = timedelta(minutes=10)
_NO_SKEW_S = 60.0
_WILD_SKEW_S = 86_400.0


def place(entry: Entry, received_at: datetime, skew_s: float) -> Placed:
    """Where the entry stands in time, whatever the phone's clock said.

    Args:
        entry: As the device sent it.
        received_at: The server's clock.
        skew_s: Server clock minus phone clock at the call [s]; under a minute it is the network's delay, not skew.

    An impossible moment (before 2000, or more than ten minutes ahead once skew is removed) is placed where it
    arrived and marked; so is, at its corrected place, anything from a phone whose clock is off by over a day.
    """
    said = at = entry.happened_at.astimezone(UTC)
    if abs(skew_s) >= _NO_SKEW_S:
        try:
            at = said + timedelta(seconds=skew_s)
        except OverflowError:
            at = _BEFORE_PHONES
    impossible = said < _BEFORE_PHONES or not _BEFORE_PHONES < at <= received_at + _AHEAD
    at = to_millisecond(received_at if impossible or at > received_at else at)
    on = at.astimezone(zone_named(entry.zone)).date()
    return Placed(at, on, impossible or abs(skew_s) > _WILD_SKEW_S)
