"""The register: what was set of each fish, and which entries about fish are taken."""

from datetime import timedelta

import pytest
from written_log import NOW, Log

from evenwater.domain.errors import DomainError
from evenwater.domain.fish.register import Fish
from evenwater.domain.fold import fold

TODAY = NOW.date()


def set_fish(log: Log, fish: str, pond: str = "main", **fields: object) -> None:
    for field, value in fields.items():
        log.write("set", NOW, pond=pond, target=f"fish/{fish}", field=field, value=value)


def test_a_fish_is_what_was_last_set_of_it_wherever_that_was_written():
    log = Log()
    set_fish(log, "ginrin", name="Ginrin", variety="Kohaku", born_year=2019)
    set_fish(log, "ginrin", pond="quarantine", name="Old Ginrin")
    set_fish(log, "small", name="The small ones", count=12)
    assert fold(log.entries).fish(TODAY) == [
        Fish(id="ginrin", pond="main", name="Old Ginrin", variety="Kohaku", born_year=2019),
        Fish(id="small", pond="main", name="The small ones", count=12),
    ]


def test_a_fish_set_up_by_mistake_is_left_out_and_what_is_set_from_a_later_date_waits():
    log = Log()
    set_fish(log, "double", name="Ginrin", closed=True)
    set_fish(log, "asagi", name="Asagi")
    later = (TODAY + timedelta(days=3)).isoformat()
    log.write("set", NOW, target="fish/asagi", field="name", value="Blue", effective_from=later)
    assert [one.name for one in fold(log.entries).fish(TODAY)] == ["Asagi"]
    assert [one.name for one in fold(log.entries).fish(TODAY + timedelta(days=3))] == ["Blue"]


@pytest.mark.parametrize(
    ("kind", "fields", "where"),
    [
        pytest.param("fish_measure", {"fish": "a", "length_cm": 56}, "length_is", id="a length of either sort"),
        pytest.param("fish_measure", {"fish": "a"}, "length_cm", id="nothing measured"),
        pytest.param("fish_seen", {"fish": ["a"]}, "signs", id="nothing seen"),
        pytest.param("fish_move", {"to_pond": "main", "count": 1, "fish": ["a", "b"]}, "count", id="more named"),
        pytest.param("fish_move", {"to_pond": "main", "count": 1, "how": "moved"}, "how", id="moved from nowhere"),
        pytest.param("fish_move", {"to_pond": "main", "count": 1, "how": "died"}, "how", id="died and came"),
        pytest.param("fish_move", {"from_pond": "main", "count": 1, "how": "new"}, "how", id="new and left"),
    ],
)
def test_what_cannot_be_is_refused_with_where_and_what_would_be_right(kind, fields, where):
    with pytest.raises(DomainError) as refused:
        Log().write(kind, NOW, **fields)
    assert refused.value.where == where
    assert refused.value.right


@pytest.mark.parametrize(
    ("kind", "fields"),
    [
        pytest.param("fish_measure", {"fish": "a", "checked": ["gills"]}, id="looked at and not measured"),
        pytest.param("fish_measure", {"fish": "a", "length_cm": 5.6, "length_is": "total"}, id="a short one"),
        pytest.param("fish_seen", {"signs": ["gasping"]}, id="somewhere in the pond"),
        pytest.param("fish_move", {"from_pond": "main", "count": 1, "how": "sold", "fish": ["a"]}, id="sold"),
        pytest.param("fish_move", {"to_pond": "main", "count": 3}, id="as before there was a register"),
    ],
)
def test_what_can_be_is_taken(kind, fields):
    assert Log().write(kind, NOW, **fields).entry
