"""`evenwater reckon`: the calculators' own answers, without a server."""

import json

import msgspec
import pytest

from evenwater.domain.reckon import CALCULATORS
from evenwater.domain.reckon.calculator import answer
from evenwater.main import run

WATER = ("buffer-dose", "volume_l=20000", "kh_now_dkh=4", "kh_target_dkh=5")
BUFFER = (*WATER, "substance=sodium_bicarbonate", "purity_fraction=0.99", "capful_g=27")


def told(capsys, *words: str) -> object:
    run(["reckon", *words, "--json"])
    return json.loads(capsys.readouterr().out)


def stopped(capsys, *words: str) -> str:
    with pytest.raises(SystemExit) as ended:
        run(["reckon", *words])
    assert ended.value.code == 1
    (line,) = capsys.readouterr().err.splitlines()
    return line


@pytest.mark.parametrize("name", CALCULATORS)
def test_every_calculator_answers_its_own_example_as_the_server_does(name, capsys):
    one = CALCULATORS[name]
    values = msgspec.to_builtins(one.example)
    words = [f"{key}={value if isinstance(value, str) else json.dumps(value)}" for key, value in values.items()]
    result, workings = answer(one, one.example)
    answered = told(capsys, name, *words)
    assert answered == json.loads(msgspec.json.encode({"result": result, "workings": workings, "source": one.source}))


def test_in_words_it_gives_the_result_its_steps_and_where_they_come_from(capsys):
    run(["reckon", *BUFFER])
    said = capsys.readouterr().out
    assert "605.3 g" in said.splitlines()[0]
    assert "°dKH" in said and "source:" in said


def test_without_a_name_all_are_listed_and_without_values_what_one_takes(capsys):
    assert {one["name"] for one in told(capsys)} == set(CALCULATORS)
    run(["reckon", "buffer-dose"])
    said = capsys.readouterr().out
    assert "1 to 1000000. Water volume [L]." in said and "example: evenwater reckon buffer-dose" in said


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("bufer", "x=1"), "`evenwater reckon` lists them"),
        ((*BUFFER, "kh_now_dkh=4,5"), "has a comma: write kh_now_dkh=4.5"),
        ((*BUFFER, "volume_l=-1"), "1 to 1000000"),
        ((*BUFFER, "volume_l=NaN"), "volume_l"),
        ((*BUFFER, "volume=1"), "unknown field `volume`"),
        (("buffer-dose", "volume_l=20000"), "missing required field `kh_now_dkh`"),
        (("buffer-dose", "volume_l"), "volume_l=20000"),
        (("blend", "waters=[]"), "1 to 100 of them"),
    ],
)
def test_what_cannot_be_reckoned_says_what_would_be_right(words, says, capsys):
    assert says in stopped(capsys, *words)


def test_with_json_a_problem_names_its_field(capsys):
    with pytest.raises(SystemExit):
        run(["reckon", *BUFFER, "volume_l=-1", "--json"])
    problem = json.loads(capsys.readouterr().out)
    assert (problem["where"], problem["right"]) == ("volume_l", "1 to 1000000. Water volume [L].")


@pytest.mark.parametrize("value", ["[" * 3000, "\udcff", "1e400", "NaN", ""])
def test_a_value_that_nothing_can_be_made_of_is_one_line(value, capsys):
    assert "volume_l" in stopped(capsys, "heat-energy", f"volume_l={value}", "from_c=1", "to_c=2")
