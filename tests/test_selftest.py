from __future__ import annotations

import shutil
import sys
from pathlib import Path

import pytest

from kit import library, selftest
from kit.selftest import Stage, Tally, closing_line, find_chromium, read_report, run

PYTHON = Path(sys.executable)
STAGES = selftest.STAGES  # as they are; some tests put others in their place
QUICK = ("-p", "no:nbval", "-p", "no:randomly")
PASSES = 'def test_a():\n    """Rule."""\n'
FAILS = 'def test_b():\n    """Rule."""\n    assert False\n'
SKIPS = 'import pytest\n\n\ndef test_c():\n    """Rule."""\n    pytest.skip("why")\n'
CELL = '{"cell_type": "code", "id": "a", "execution_count": null, "metadata": {}, "outputs": [], '
NOTEBOOK = (
    '{"cells": ['
    + CELL
    + '"source": "x = 1"}, '
    + CELL.replace('"a"', '"b"')
    + '"source": "x + 1"}],'
    '"metadata": {"kernelspec": {"name": "python3", "language": "python", "display_name": "P"}},'
    '"nbformat": 4, "nbformat_minor": 5}'
)


@pytest.fixture
def top(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with the kit's settings and one stage that runs what a test puts there."""
    shutil.copyfile(library.root() / "pyproject.toml", tmp_path / "pyproject.toml")
    (tmp_path / "tests").mkdir()
    monkeypatch.setattr(selftest, "STAGES", (Stage("only", ("tests",), QUICK),))
    monkeypatch.delenv("CI", raising=False)
    return tmp_path


@pytest.mark.parametrize(
    ("files", "code", "counts"),
    [
        ([PASSES], 0, "1 passed"),
        ([PASSES, SKIPS], 0, "1 passed, 1 skipped"),
        ([PASSES, FAILS], 1, "1 failed, 1 passed"),
        (["def broken(:\n"], 1, "1 error"),
        ([PASSES.replace("()", "(nothing)")], 1, "1 error"),
        ([SKIPS], 1, "1 skipped, 1 error"),
        ([], 1, "1 error"),
    ],
)
def test_the_closing_line_and_the_exit_code_tell_how_it_went(
    files: list[str], code: int, counts: str, top: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """Any failure, error or stage that ran nothing gives a nonzero exit; the last line counts."""
    for number, text in enumerate(files):
        (top / "tests" / f"test_{number}.py").write_text(text, encoding="utf-8")

    assert code == run(PYTHON, top)

    last = capfd.readouterr().out.strip().splitlines()[-1]
    assert last.startswith("==")
    assert f" {counts} in " in last


def test_a_missing_folder_is_a_failure(
    top: Path, capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A stage whose files are not there has not been passed."""
    monkeypatch.setattr(selftest, "STAGES", (Stage("only", ("not-there",)),))

    assert run(PYTHON, top) == 1
    assert "not-there" in capfd.readouterr().out


def test_a_notebook_is_run_in_its_order_on_one_worker(
    top: Path, capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The notebook stage runs each cell after the one before it, also with two workers."""
    notebooks = next(stage for stage in STAGES if stage.name == "notebooks")
    stage = Stage("only", ("tests",), notebooks.options)
    monkeypatch.setattr(selftest, "STAGES", (stage,))
    for name in ("one", "two"):
        (top / "tests" / f"{name}.ipynb").write_text(NOTEBOOK, encoding="utf-8")

    assert run(PYTHON, top) == 0
    assert " 4 passed in " in capfd.readouterr().out.strip().splitlines()[-1]


def test_without_a_browser_a_person_is_told_and_ci_fails(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """A learner's machine may lack Chromium, and says so; CI may not."""
    here = selftest.without_browser(in_ci=False)
    in_ci = selftest.without_browser(in_ci=True)

    assert (1, 0, []) == (here.skipped, here.errors, here.broken)
    assert (0, 1, ["browser"]) == (in_ci.skipped, in_ci.errors, in_ci.broken)
    assert capsys.readouterr().out.count("this machine has no Chromium") == 2


@pytest.mark.parametrize(("ci", "code"), [("", 0), ("true", 1)])
def test_no_chromium_fails_in_ci_only(
    ci: str,
    code: int,
    top: Path,
    monkeypatch: pytest.MonkeyPatch,
    capfd: pytest.CaptureFixture[str],
) -> None:
    """The browser stage without a browser is a skip for a person and a failure in CI."""
    stages = (Stage("only", ("tests",), QUICK), Stage("browser", ("tests",), QUICK))
    monkeypatch.setattr(selftest, "STAGES", stages)
    monkeypatch.setattr(selftest, "find_chromium", lambda: None)
    (top / "tests" / "test_a.py").write_text(PASSES, encoding="utf-8")
    if ci:
        monkeypatch.setenv("CI", ci)

    assert code == run(PYTHON, top)
    assert "1 passed" in capfd.readouterr().out


def test_a_browser_is_found_by_name_or_on_the_path(tmp_path: Path) -> None:
    """BENCHCALL_CHROMIUM wins; else the usual names on the path are tried."""
    browser = tmp_path / "chromium"
    browser.write_text("", encoding="utf-8")
    browser.chmod(0o755)

    assert str(browser) == find_chromium({"BENCHCALL_CHROMIUM": str(browser), "PATH": ""})
    assert find_chromium({"BENCHCALL_CHROMIUM": str(tmp_path / "gone"), "PATH": ""}) is None
    assert str(browser) == find_chromium({"PATH": str(tmp_path)})


def test_a_torn_report_counts_nothing(tmp_path: Path) -> None:
    """A run that was killed leaves no report or half of one: it has shown nothing."""
    torn = tmp_path / "report.xml"
    torn.write_text('<?xml version="1.0"?><testsuites><testsuite tests="3"', encoding="utf-8")

    assert Tally() == read_report(torn)
    assert Tally() == read_report(tmp_path / "absent.xml")


def test_the_closing_line_reads_like_pytests() -> None:
    """The words and their order are those that people and programs know from pytest."""
    assert " 2 failed, 1 passed, 3 skipped, 1 error in 4.20s " in closing_line(
        Tally(1, 2, 1, 3), 4.2
    )
    assert " no tests ran in 0.00s " in closing_line(Tally(), 0.0)


def test_what_a_learner_would_write_stays_out_of_the_learners_folder(tmp_path: Path) -> None:
    """Tests keep journals and progress in a folder that goes away."""
    found = selftest.stage_environ(
        {"BENCHCALL_DATA": "/home/learner"}, tmp_path, "/usr/bin/chromium"
    )

    assert str(tmp_path / "learner") == found["BENCHCALL_DATA"]
    assert found["BENCHCALL_CHROMIUM"] == "/usr/bin/chromium"
