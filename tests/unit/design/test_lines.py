"""On which line a key stands."""

import pytest

from braces.design.lines import key_lines, line_of

TEXT = '''# a comment
name = "x"
[body]  # trailing words
length = "1 mm"
  waist  = { width = "1 mm", at = "2 mm" }
depth.tail = "3 mm"

[[top.braces]]
name = "a"
note = """
name = "not a key"
[not.a.table]
"""
[[top.braces]]
"name" = 'b'
ends = { kind = "free" }
[top.braces.profile]
law = "straight"
[ back . "centre strip" ]
wood = "y"
'''


@pytest.mark.parametrize(
    ("where", "line"),
    [
        (("name",), 2),
        (("body",), 3),
        (("body", "length"), 4),
        (("body", "waist", "width"), 5),
        (("body", "depth", "tail"), 6),
        (("body", "missing"), 3),
        (("top", "braces"), 8),
        (("top", "braces", 0), 8),
        (("top", "braces", 0, "name"), 9),
        (("top", "braces", 0, "note"), 10),
        (("top", "braces", 1), 14),
        (("top", "braces", 1, "name"), 15),
        (("top", "braces", 1, "ends", "kind"), 16),
        (("top", "braces", 1, "profile", "law"), 18),
        (("back", "centre strip", "wood"), 20),
        (("nowhere",), None),
        ((), None),
    ],
)
def test_lines(where: tuple[str | int, ...], line: int | None) -> None:
    assert line_of(key_lines(TEXT), where) == line


def test_lines_are_those_of_an_editor() -> None:
    """Only a line feed ends a line; a form feed or the like in a comment does not."""
    text = "# one\u2028two\x0cthree\x85\nname = 1\r\nother = 2\n"
    assert key_lines(text)[("name",)] == 2
    assert key_lines(text)[("other",)] == 3


def test_the_file_as_a_whole() -> None:
    assert line_of({(): 7}, ()) == 7
    assert line_of({(): 7}, ("body",)) == 7
