"""The order one walks in."""

from domain.rounds.rounds_jobs import a_job
from hypothesis import given
from hypothesis import strategies as st

from evenwater.domain.rounds.jobs import Job
from evenwater.domain.rounds.walk.order import in_walking_order
from evenwater.domain.standing_job import StandingJob


def rule(name: str, **fields: object) -> StandingJob:
    return StandingJob(id=name, pond="main", **fields)  # type: ignore[arg-type]


def walked(*pairs: tuple[StandingJob, Job], places: tuple[str, ...] = ()) -> tuple[list[str], tuple[str, ...]]:
    jobs, said = in_walking_order([job for _, job in pairs], {one.id: one for one, _ in pairs}, places)
    return [job.standing_job for job in jobs], said


def pair(name: str, place: str = "At the water", order: int = 100, part: str = "morning", after: tuple[str, ...] = ()):
    return rule(name, place=place, order=order, after=after), a_job(name, place=place, part=part)


def test_the_part_of_the_day_comes_before_all_else():
    assert walked(pair("b", part="dusk", order=1), pair("a", order=9))[0] == ["a", "b"]


def test_jobs_follow_the_places_in_the_order_the_keeper_walks():
    jobs = [pair("a", "At the water", 1), pair("b", "Filter house", 2), pair("c", "At the water", 3)]
    assert walked(*jobs, places=("Filter house", "At the water"))[0] == ["b", "a", "c"]


def test_places_nobody_ordered_come_by_the_first_job_there():
    assert walked(pair("a", "Shed", 5), pair("b", "Gate", 2), pair("c", "Shed", 9))[0] == ["b", "a", "c"]


def test_what_must_come_first_comes_first_at_the_same_place():
    assert walked(pair("dose", order=1, after=("test",)), pair("test", order=2))[0] == ["test", "dose"]


def test_one_walks_back_only_for_what_had_to_wait():
    jobs = [
        pair("a", "At the water", 1),
        pair("test", "At the water", 2, after=("flush",)),
        pair("agitate", "Filter house", 3),
        pair("flush", "Filter house", 4, after=("agitate",)),
        pair("rinse", "Filter house", 5),
    ]
    assert walked(*jobs)[0] == ["a", "agitate", "flush", "rinse", "test"]


def test_what_comes_first_but_not_today_holds_nobody_up():
    assert walked(pair("dose", after=("test",)), pair("look", order=200))[0] == ["dose", "look"]


def test_a_job_in_a_later_part_cannot_come_first():
    order, said = walked(pair("dose", after=("test",)), pair("test", part="dusk"))
    assert order == ["dose", "test"]
    assert said == ()


def test_two_that_wait_for_each_other_are_said_once_and_keep_their_usual_order():
    order, said = walked(pair("b", order=2, after=("a",)), pair("a", order=1, after=("b",)))
    assert order == ["a", "b"]
    assert said == ("“A” and “B” are set to wait for each other: no order is kept between them.",)


def test_a_job_set_to_come_after_itself_is_said():
    assert walked(pair("a", after=("a",))) == (
        ["a"],
        ("“A” is set to come after itself: that is passed over.",),
    )


def test_a_ring_does_not_undo_the_order_of_what_hangs_on_it():
    jobs = [pair("a", order=1, after=("b",)), pair("b", order=2, after=("a",)), pair("c", order=0, after=("b",))]
    assert walked(*jobs)[0] == ["a", "b", "c"]


names = st.sampled_from(["a", "b", "c", "d", "e", "f"])
pairs = st.lists(
    st.tuples(names, st.sampled_from(["x", "y", "z"]), st.integers(0, 5), st.lists(names, max_size=3)),
    max_size=6,
    unique_by=lambda one: one[0],
)


@given(pairs)
def test_every_job_is_walked_once_whatever_waits_for_what(drawn):
    made = [pair(name, place, order, "morning", tuple(after)) for name, place, order, after in drawn]
    order, said = walked(*made)
    assert sorted(order) == sorted(name for name, *_ in drawn)
    if not said:
        for name, _, _, after in drawn:
            for first in after:
                assert first not in order or order.index(first) < order.index(name)
