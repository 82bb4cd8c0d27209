"""``stopsheet film`` as it is typed: exit codes, several files, columns, sorting, own words."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path

import pytest

from planner.cli import main

ROWS = "Date,{date}\nOpponent,Club {n}\nClock,Pts,Mistake,Zed\n8:42,2,zonk,21\n8:20,0,,\n8:00,3,zonk,4\n"
Say = Callable[..., tuple[int, str, str]]


@pytest.fixture
def say(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Say:
    monkeypatch.setenv("STOPSHEET_HOME", str(tmp_path / "home"))
    monkeypatch.delenv("STOPSHEET_DB", raising=False)
    monkeypatch.chdir(tmp_path)
    (tmp_path / "film").mkdir()
    day = dt.datetime.now().astimezone().date()
    for n in range(1, 9):
        date = (day - dt.timedelta(days=n)).isoformat()
        (tmp_path / "film" / f"{n}.csv").write_text(ROWS.format(date=date, n=n), encoding="utf-8")

    def run(*words: str) -> tuple[int, str, str]:
        code = main(["film", *words])
        shown = capsys.readouterr()
        return code, shown.out, shown.err

    main(["team", "new", "Herons"])
    for jersey in ("4", "21"):
        main(["team", "player", jersey])
    capsys.readouterr()
    return run


def test_exit_codes(say: Say, tmp_path: Path) -> None:
    """0 when all went in, 1 when some were refused or nothing was new, 2 when nothing could be read."""
    (tmp_path / "bad.csv").write_bytes(b"")
    assert say("add", "film/1.csv")[0] == 0
    assert say("add", "film/1.csv")[0] == 1
    code, out, err = say("add", "film/2.csv", "bad.csv", "gone.csv")
    assert code == 1
    assert "1 file added" in out
    assert [line.split("'")[1] for line in err.splitlines()] == ["bad.csv", "gone.csv"]
    code, out, err = say("add", "bad.csv", "gone.csv")
    assert (code, out.count("added with")) == (2, 1)
    assert say("read", "bad.csv")[0] == 2
    assert say("read", "film/1.csv", "bad.csv")[0] == 1


def test_a_folder(say: Say) -> None:
    """A folder goes in at once, each file told in a line; the same again adds nothing."""
    code, out, _ = say("add", "film")
    assert code == 0
    assert "8 files added" in out
    assert out.count("film note") == 8
    assert say("add", "film")[0] == 1


def test_columns_are_told_and_corrected(say: Say) -> None:
    """Reading says how columns were read; a correction holds from then on."""
    assert "column 'Zed' not read" in say("read", "film/1.csv")[1]
    code, out, _ = say("read", "film/1.csv", "--column", "Zed=player")
    assert code == 0
    assert "column 'Zed' read as player" in out
    assert "column 'Zed' read as player" in say("read", "film/2.csv")[1]
    assert say("read", "film/2.csv", "--possessions", "61")[1].startswith("2.csv: 61 possessions")


def test_sorting(say: Say) -> None:
    """Alike lines are listed together, sorted together and taught; words are listed and forgotten."""
    say("add", "film/1.csv", "film/2.csv")
    out = say("unclear")[1]
    assert "4 x  zonk" in out
    code, out, _ = say("sort", "1", "3", "no-tag", "21")
    assert code == 0
    assert "'zonk' is remembered" in out
    assert "2 x  zonk" in say("unclear")[1]
    assert say("sort", "2", "not-a-mistake", "--same")[0] == 0
    assert say("unclear")[1] == "Nothing is unclear.\n"
    assert say("words")[1].split() == ["not-a-mistake", "zonk"]
    assert say("words", "--forget", "zonk")[0] == 0
    assert "No words of your own" in say("words")[1]
