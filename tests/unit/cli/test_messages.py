"""How problems are told."""

from pathlib import Path

from braces.app.study import Study
from braces.base.problems import Problem
from braces.cli.messages import MOST_SHOWN, plain, problem_text, tally


def told(*problems: Problem, lines: dict[tuple[str | int, ...], int] | None = None, path: str = "bird.toml") -> Study:
    return Study(Path(path), None, None, problems, lines or {})


def test_one_problem() -> None:
    study = told(
        Problem("K01", ("top", "wod"), '"wod" is not known here', 'did you mean "wood"?'), lines={("top", "wod"): 7}
    )
    assert problem_text(study).splitlines() == [
        "K01  bird.toml, line 7  top.wod",
        '    found  "wod" is not known here',
        '    write  did you mean "wood"?',
    ]
    assert tally(study) == "1 problem"


def test_in_the_order_of_the_file_and_warnings_marked() -> None:
    a, b, c = (Problem("L13", (k,), k, "x", fatal=False) for k in "abc")
    study = told(b, c, a, Problem("K02", (), "z", "y"), lines={("a",): 1, ("b",): 2, ("c",): 3})
    heads = [block.splitlines()[0] for block in problem_text(study).split("\n\n")]
    assert [h.split()[0] for h in heads] == ["K02", "L13", "L13", "L13"]
    assert "line 1" in heads[1]
    assert heads[1].endswith("(a warning)")
    assert tally(study) == "1 problem, 3 warnings"


def test_no_problems() -> None:
    assert tally(told()) == "no problems"
    assert problem_text(told()) == ""


def test_long_texts_are_wrapped_and_many_problems_cut_short() -> None:
    study = told(*(Problem("V02", ("k", n), "word " * 60, "advice " * 40) for n in range(MOST_SHOWN + 30)))
    text = problem_text(study)
    assert all(len(line) <= 100 for line in text.splitlines())
    assert text.endswith("and 30 more; mend these first.")
    assert tally(study) == f"{MOST_SHOWN + 30} problems"


def test_nothing_that_a_terminal_obeys() -> None:
    nasty = "a\x1b[31mb\u202ec\x07d\ne"
    study = told(Problem("V02", (nasty,), nasty, nasty), path=f"/x/{nasty}")
    assert all(line.isprintable() for line in problem_text(study).split("\n"))
    assert plain(nasty) == "a?[31mb?c?d?e"
    assert plain("bird\udcff") == "bird?"
