"""An entry from its JSON: every field a device may send is checked here, once.

What passed is true to its docstring everywhere else. A newer version or an unknown kind is not an error but `Deferred`:
kept, and read after the next upgrade.
"""

from datetime import date

import msgspec
from msgspec import Struct

from evenwater.domain.entries import (
    KINDS,
    AirForecast,
    Entry,
    FishMeasure,
    FishMove,
    FishSeen,
    Look,
    Meter,
    NotDone,
    Reading,
    TakeBack,
    Tick,
    Uuid,
    Version,
    zone_named,
)
from evenwater.domain.errors import Contradiction, DomainError, Missing, NotOneOf, OutOfRange
from evenwater.domain.quantities import QUANTITIES

VERSION = 1


class Deferred(Struct, frozen=True):
    """An entry written by a newer app: kept as it came, read after the next upgrade."""

    id: str
    kind: str
    v: int


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
    elif isinstance(entry, Meter) and entry.hours is None and entry.volume_l is None:
        raise Missing("a meter that shows nothing", where="hours", right="hours run, or volume_l")
    elif isinstance(entry, FishMove):
        _check_fish_move(entry)
    elif isinstance(entry, FishMeasure):
        _check_fish_measure(entry)
    elif isinstance(entry, FishSeen) and not (entry.signs or entry.text or entry.photos):
        raise Missing("something was seen, and not what", where="signs", right="a sign, words or a photo")


def _check_fish_move(entry: FishMove) -> None:
    if entry.from_pond == entry.to_pond:
        raise Contradiction("fish that move from a pond to itself", where="to_pond", right="another pond, or none")
    if entry.pond not in (entry.from_pond, entry.to_pond):
        raise Contradiction("neither pond of the move is the entry's own", where="pond", right="from_pond or to_pond")
    if entry.count < len(set(entry.fish)):
        raise Contradiction(
            f"{len(set(entry.fish))} fish are named, and {entry.count} moved",
            where="count",
            right=f"{len(set(entry.fish))} or more",
        )
    _check_how(entry)


def _check_how(entry: FishMove) -> None:
    if entry.how == "moved" and not (entry.from_pond and entry.to_pond):
        raise Contradiction("moved, and one pond is missing", where="how", right="from_pond and to_pond")
    if entry.how == "new" and (entry.from_pond or not entry.to_pond):
        raise Contradiction("new fish come from no pond of yours", where="how", right="to_pond alone")
    if entry.how in ("sold", "given", "died") and entry.to_pond:
        raise Contradiction(f"{entry.how}, and in a pond still", where="how", right="from_pond alone")


def _check_fish_measure(entry: FishMeasure) -> None:
    if entry.length_cm is not None and entry.length_is is None:
        raise Missing("a length that may be with the tail fin or without", where="length_is", right="standard or total")
    told = (entry.length_cm, entry.weight_g, entry.text, entry.checked or None, entry.found or None)
    if all(one is None for one in told) and not entry.photos:
        raise Missing(
            "a fish was lifted, and nothing is told of it",
            where="length_cm",
            right="a length, a weight, or what was seen",
        )


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
