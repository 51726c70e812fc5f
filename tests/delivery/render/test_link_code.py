"""The code is the address, dark where it is dark, with room around it."""

import re

import segno

from evenwater.delivery.render.link_code import QUIET, link_code

ADDRESS = "https://pond.example/h#Zm9yIG9uZSBoZWxwZXIgb24"


def drawn(path: str, size: int) -> list[list[int]]:
    """What the path fills, module by module."""
    squares = [[0] * size for _ in range(size)]
    for x, y, length in re.findall(r"M(\d+) (\d+)h(\d+)v1h-\3z", path):
        for at in range(int(x), int(x) + int(length)):
            assert squares[int(y)][at] == 0, "no module is drawn twice"
            squares[int(y)][at] = 1
    return squares


def test_the_path_fills_just_the_dark_modules_of_the_code():
    code = link_code(ADDRESS)
    matrix = [list(row) for row in segno.make(ADDRESS, error="m", micro=False, boost_error=False).matrix]
    blank = [0] * code.size
    framed = [[0] * QUIET + row + [0] * QUIET for row in matrix]
    assert drawn(code.path, code.size) == [blank] * QUIET + framed + [blank] * QUIET
    assert re.fullmatch(r"(M\d+ \d+h\d+v1h-\d+z)+", code.path)


def test_a_longer_address_is_a_larger_code():
    assert link_code(ADDRESS).size < link_code(ADDRESS * 4).size
