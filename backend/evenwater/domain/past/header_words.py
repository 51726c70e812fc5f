"""Words above columns, and behind numbers, in English, German and a few neighbours -> meaning, unit, point.

A header is cut into words; the most telling one decides. What no word tells is for the numbers themselves to show.
"""

import re
from typing import Final

from msgspec import Struct

from evenwater.domain.past.meanings import DATE, LEFT_OUT, NOTE, TIME
from evenwater.domain.quantities import Point


class Heard(Struct, frozen=True):
    """What a header says; "" for what it leaves open."""

    meaning: str = ""
    unit: str = ""
    point: Point | None = None


# The first that is found decides, so what is longer or more certain stands first.
_MEANINGS: Final = tuple(
    (re.compile(rf"(?<![a-zäöüß0-9])(?:{words})(?![a-zäöüß0-9])"), meaning)
    for words, meaning in (
        (r"soll\w*|ziel\w*|target|goal|wanted|min|max|limit|grenzwert|diff\w*|delta|trend|average|mittel", LEFT_OUT),
        (r"date|datum|zeitpunkt|timestamp|date_?time|fecha|dato|gemessen am", DATE),
        (r"time|zeit|uhrzeit|uhr|clock|heure|tijd|hora", TIME),
        (r"notes?|notiz\w*|bemerkung\w*|kommentare?|comments?|remarks?|anmerkung\w*|opmerking\w*|sonstiges", NOTE),
        (r"puffer\w*|buffer\w*|natron|bi[ck]arb\w*|nahco3|baking soda|soda|dose|dosis", "dose_g"),
        (r"wasserwechsel|teilwasserwechsel|tww|ww|water ?changed?|wc|changed|verversing", "water_change_l"),
        (r"futter\w*|gefüttert|fütterung|food|feed\w*|fed|voer", "feed_g"),
        (r"salz ?(?:zugabe|gegeben|dosiert)|salt (?:given|added|put in|dosed)|aufsalz\w*", "salt_g"),
        (r"freies? chlor|free (?:chlorine|cl2?)|cl2? ?frei|free_chlorine\w*", "free_chlorine_ug_per_l"),
        (r"(?:gesamt\W?)?chlor|total cl2?|chlorine?|chloramine?|cl2|total_chlorine\w*", "total_chlorine_ug_per_l"),
        (r"chlorid\w*|cl-", "chloride_mg_per_l"),
        (r"nitrit\w*|no2(?:\W?n)?|nitrite_n\w*", "nitrite_n_mg_per_l"),
        (r"nitrat\w*|no3(?:\W?n)?|nitrate_n\w*", "nitrate_n_mg_per_l"),
        (r"ammonia\w*|ammoni[au]k|ammonium\w*|tan|nh[34](?:\W?n)?|nh3\W?nh4|nh4\W?nh3|tan_mg\w*", "tan_mg_n_per_l"),
        (r"d?kh|karbonath\w*|carbonate hardness|alkalinity|alk|alkalinität|kh_dkh|säurekapazität|sbv", "kh_dkh"),
        (r"d?gh|gesamthärte|general hardness|total hardness|hardness|härte|gh_dgh", "gh_dgh"),
        (r"ph\W?wert|ph", "ph"),
        (r"(?:luft|au(?:ss|ß)en|raum|innen|air|room|outside|outdoor) ?temp\w*", "air_temperature_c"),
        (r"water ?temp\w*|wasser ?temp\w*|temp\w*|t wasser|t water|wt|temperature_c", "temperature_c"),
        (r"leitfähigkeit|leitwert|lf|lw|ec(?:25)?|conductivity|[µu]s\W?cm|ec25_us\w*|geleidbaarheid", "ec25_us_per_cm"),
        (r"sauerstoff|oxygen|o2|do|dissolved oxygen|zuurstof|oxygen_mg\w*", "oxygen_mg_per_l"),
        (r"calcium|ca|kalzium|calcium_mg\w*", "calcium_mg_per_l"),
        (r"salz\w*|salt|salinity|nacl|salinity_g\w*", "salinity_g_per_l"),
        (r"humidity|luftfeucht\w*|rh|relative_humidity\w*", "relative_humidity_fraction"),
        (r"(?:heater|heizung\w*|strom|energy) ?(?:meter|zähler\w*)|zählerstand|heater_meter\w*", "heater_meter_kwh"),
        (r"day|tag|measured", DATE),
    )
)

_POINTS: Final[tuple[tuple[re.Pattern[str], Point], ...]] = (
    (re.compile(r"after (?:the )?carbon|nach (?:der )?(?:aktiv)?kohle|post carbon|hinter kohle"), "after_carbon"),
    (re.compile(r"after (?:the )?membrane|permeate?|osmose\w*|\bro\b|\buo\b|nach (?:der )?membran"), "after_membrane"),
    (re.compile(r"\b(?:room|filterhaus|filter ?house|shed|inside|innen)\b"), "filter_house"),
    (re.compile(r"\bmains\b|\btap\b|leitungswasser|\bleitung\b|frischwasser|kraan"), "mains"),
)
_AIR: Final = re.compile(r"\b(?:air|luft|aussen\w*|außen\w*|outside|outdoor|room|filterhaus|filter house)")
_NOT_CONCENTRATION: Final = re.compile(r"%|sat|sätt")

_DEGREES: Final = ("kh_dkh", "gh_dgh")
_CACO3: Final = re.compile(r"caco[3₃]")
_UNITS: Final = tuple(
    (frozenset(of.split()), re.compile(rf"(?<![a-zäöü0-9°µ])(?:{words})(?![a-zäöü0-9])"), unit)
    for of, words, unit in (
        ("kh_dkh", r"°? ?dkh|° ?kh|°|° ?dh|dh|degrees?|grad|kh_dkh", "°dKH"),
        ("gh_dgh", r"°? ?dgh|° ?gh|°|° ?dh|dh|degrees?|grad|gh_dgh", "°dGH"),
        ("kh_dkh", r"meq ?/? ?l|mval ?/? ?l|mmol ?/? ?l|sbv|säurekapazität", "meq/L"),
        ("gh_dgh", r"mmol ?/? ?l", "mmol/L"),
        ("temperature_c air_temperature_c", r"°? ?f|fahrenheit|deg ?f", "°F"),
        ("temperature_c air_temperature_c", r"°? ?c|celsius|deg ?c|temperature_c", "°C"),
        ("tan_mg_n_per_l", r"nh[₃3]\W?n|nh[₄4]\W?n|tan|as n|als n|tan_mg_n_per_l", "mg/L as N"),
        ("nitrite_n_mg_per_l", r"no[₂2]\W?n|as n|als n|nitrite_n_mg_per_l|nitrite?\W?n", "mg/L as N"),
        ("nitrate_n_mg_per_l", r"no[₃3]\W?n|as n|als n|nitrate_n_mg_per_l|nitrate?\W?n", "mg/L as N"),
        ("tan_mg_n_per_l", r"(?:as|als|mg ?/? ?l) nh[₄4]", "mg/L as NH₄"),
        ("nitrite_n_mg_per_l", r"(?:as|als|mg ?/? ?l) no[₂2]|ion", "mg/L as NO₂"),
        ("nitrate_n_mg_per_l", r"(?:as|als|mg ?/? ?l) no[₃3]|ion", "mg/L as NO₃"),
        ("ec25_us_per_cm", r"ms ?/? ?cm", "mS/cm"),
        ("ec25_us_per_cm", r"[µμu]s(?: ?/? ?cm)?|ec25_us_per_cm", "µS/cm"),
        ("total_chlorine_ug_per_l free_chlorine_ug_per_l", r"[µμu]g ?/? ?l|ppb|\w+_ug_per_l", "µg/L"),
        ("total_chlorine_ug_per_l free_chlorine_ug_per_l", r"mg ?/? ?l|ppm", "mg/L"),
        ("oxygen_mg_per_l chloride_mg_per_l calcium_mg_per_l", r"mg ?/? ?l|ppm|\w+_mg_per_l", "mg/L"),
        ("salinity_g_per_l", r"g ?/? ?l|ppt|‰|promille|salinity_g_per_l", "g/L"),
        ("dose_g feed_g salt_g", r"kg|kilo\w*", "kg"),
        ("dose_g feed_g salt_g", r"g|gr|gramm?e?s?|gram", "g"),
        ("dose_g", r"capfuls?|kappen?|scoops?|messbecher|deckel", "capfuls"),
        ("water_change_l", r"m[³3]|cbm|kubik\w*", "m³"),
        ("water_change_l", r"l|lit(?:er|re)s?|ltr", "L"),
        ("water_change_l", r"(?:us )?gal(?:lons?)?", "US gal"),
    )
)


_SAYS_NO_MORE: Final = re.compile(r"mg ?/? ?l(?:iter)?|ppm|mg ?l-1|mg")


def plain_words(text: str) -> str:
    """Lower case, one space between words, brackets gone."""
    return re.sub(r"[\s()\[\]{}:;,\"]+", " ", text.lower()).strip()


def hear(header: str) -> Heard:
    """What a header says of its column.

    >>> hear("KH (mg/L CaCO3)")
    Heard(meaning='kh_dkh', unit='mg/L as CaCO₃', point=None)
    >>> hear("Leitwert nach Osmose [µS/cm]").point
    'after_membrane'
    """
    words = plain_words(header)
    meaning = next((meaning for pattern, meaning in _MEANINGS if pattern.search(words)), "")
    if meaning == "temperature_c" and _AIR.search(words):
        meaning = "air_temperature_c"
    if meaning == "oxygen_mg_per_l" and _NOT_CONCENTRATION.search(words):
        meaning = LEFT_OUT
    if meaning == "salinity_g_per_l" and unit_in(words, "salt_g") and not unit_in(words, meaning):
        meaning = "salt_g"
    point: Point | None = next((point for pattern, point in _POINTS if pattern.search(words)), None)
    return Heard(meaning, unit_in(words, meaning), point)


def unit_in(words: str, meaning: str) -> str:
    """The unit of that meaning which the words name, "" when they name none.

    >>> unit_in("dKH", "kh_dkh"), unit_in("mg/l", "kh_dkh")
    ('°dKH', 'mg/L as CaCO₃')
    """
    words = plain_words(words)
    if meaning in _DEGREES and (_CACO3.search(words) or re.search(r"(?<!\w)(?:ppm|mg ?/? ?l)(?!\w)", words)):
        return "mg/L as CaCO₃"
    if meaning in ("salinity_g_per_l", "water_change_l", "relative_humidity_fraction") and "%" in words:
        return "% of the pond" if meaning == "water_change_l" else "%"
    return next((unit for of, pattern, unit in _UNITS if meaning in of and pattern.search(words)), "")


def unit_of_cell(words: str, meaning: str) -> str | None:
    """The unit written behind a number: "" where it says no more than the column does, None where it is no unit of it.

    >>> unit_of_cell("mg/l", "nitrate_n_mg_per_l"), unit_of_cell("-6", "kh_dkh"), unit_of_cell("° F", "temperature_c")
    ('', None, '°F')
    """
    plain = plain_words(words).rstrip(".!?*")
    unit = unit_in(plain, meaning)
    if not unit and (not plain or _SAYS_NO_MORE.fullmatch(plain) or hear(plain).meaning == meaning):
        return ""
    return unit or None
