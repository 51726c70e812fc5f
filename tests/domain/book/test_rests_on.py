"""Which entries the pages rest on."""

import pytest
from written_log import NOW, Log

from evenwater.domain.book.rests_on import pages_rest_on
from evenwater.domain.fold import fold
from evenwater.domain.standing_job import StandingJob

ON = str(NOW.date())


def told_by(kind: str, **fields: object) -> bool:
    log = Log()
    log.job(StandingJob(id="rinse", pond="", text="Rinse the drum", service="drum_rinsed"))
    log.job(StandingJob(id="look", pond="", text="Look at the fish"))
    settings = fold(log.entries).settings
    return pages_rest_on([log.write(kind, NOW, **fields)], settings)


@pytest.mark.parametrize(
    ("kind", "fields"),
    [
        pytest.param("reading", {"quantity": "kh_dkh", "value": 5.0}, id="a reading"),
        pytest.param("set", {"target": "pond", "field": "capful_g", "value": 30}, id="a setting"),
        pytest.param("take_back", {"entry": "00000000-0000-0000-0000-0000000000aa"}, id="something taken back"),
        pytest.param("tick", {"standing_job": "rinse", "due_on": ON, "slot": "day"}, id="work on the kit"),
        pytest.param("tick", {"standing_job": "cover", "due_on": ON, "slot": "on"}, id="covers moved"),
        pytest.param(
            "not_done", {"standing_job": "cover", "due_on": ON, "slot": "on", "reason": "ill"}, id="not moved"
        ),
        pytest.param(
            "tick", {"standing_job": "heat", "due_on": ON, "slot": "dusk", "setting_c": 18}, id="a setting made"
        ),
        pytest.param("tick", {"standing_job": "feed", "due_on": ON, "slot": "day", "feed_g": 40}, id="a meal"),
        pytest.param("change", {"text": "A new pump"}, id="a change"),
    ],
)
def test_what_bears_on_a_page_has_it_made_anew(kind, fields):
    assert told_by(kind, **fields)


@pytest.mark.parametrize(
    ("kind", "fields"),
    [
        pytest.param("note", {"text": "Fog."}, id="a note"),
        pytest.param("tick", {"standing_job": "look", "due_on": ON, "slot": "day"}, id="a plain tick"),
        pytest.param("not_done", {"standing_job": "look", "due_on": ON, "slot": "day", "reason": "ill"}, id="not done"),
        pytest.param("power", {"on": False}, id="a power cut"),
        pytest.param("water_running", {"running": True}, id="water opened"),
    ],
)
def test_what_bears_on_the_round_alone_leaves_the_pages_as_they_stand(kind, fields):
    assert not told_by(kind, **fields)
