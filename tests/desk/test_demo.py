from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from planner.desk.demo import MARK, run_demo
from planner.desk.desk import Desk
from planner.desk.film import film_list
from planner.desk.needs import assess_needs
from planner.desk.seed import plant, read_seed
from planner.desk.team import overview
from planner.problem import Refusal
from tests.running import NOW, TODAY, Planted


def test_the_demo_ends_on_paper(planted: Planted) -> None:
    """The loop ends with a PDF and a text of tomorrow's practice in the demo's own folder."""
    assert planted.pdf.read_bytes().startswith(b"%PDF-")
    assert planted.pdf.parent == planted.home / "prints"
    text = planted.text.read_text("utf-8")
    assert "Thursday 14 January 2027" in text
    assert all(one.title.split(":")[0][:20] in text for one in planted.plan.segments if one.kind == "drill")


def test_the_demo_is_a_season_half_way(desk: Desk) -> None:
    """Ten films, a dozen players and months of practices are in; nothing needs undoing."""
    found = overview(desk)
    assert len(found["players"]) == 12
    assert len(film_list(desk)) == 10
    assert sum(one["films"] for one in found["games"]) == 10
    needs = assess_needs(desk)
    assert needs.games == 10
    assert needs.principles[0].points_per_100 > 2


def test_the_demo_ends_today_whatever_the_day(tmp_path: Path) -> None:
    """All dates move together: on any day of the year the last film is a few days old."""
    today = dt.date(2031, 7, 4)
    desk = Desk(tmp_path / "summer", today, lambda: NOW)
    plant(desk, read_seed(Path(__file__).parents[2] / "seeds", today))
    played = [dt.date.fromisoformat(one["date"]) for one in overview(desk)["games"] if one["films"]]
    assert 0 < (today - max(played)).days < 10
    with pytest.raises(Refusal, match="already holds a team"):
        plant(desk, read_seed(Path(__file__).parents[2] / "seeds", today))
    desk.close()


@pytest.mark.parametrize("what", ["file", "folder", "link"])
def test_the_demo_touches_nothing_that_is_not_its_own(tmp_path: Path, what: str) -> None:
    """A folder with somebody's files, a file, or a link to such a folder is left alone."""
    mine = tmp_path / "mine"
    mine.mkdir()
    (mine / "notes.txt").write_text("keep me")
    target = {"file": mine / "notes.txt", "folder": mine, "link": tmp_path / "link"}[what]
    if what == "link":
        target.symlink_to(mine)
    with pytest.raises(Refusal, match=r"holds something else; name another folder with --folder\."):
        run_demo(Desk(tmp_path / "base", TODAY, lambda: NOW), target)
    assert [one.name for one in mine.iterdir()] == ["notes.txt"]
    assert (mine / "notes.txt").read_text() == "keep me"


def test_clearing_an_earlier_demo_follows_no_link(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What a link in the demo's folder leads to outlives the demo."""
    from planner.desk import demo

    kept = tmp_path / "kept"
    kept.mkdir()
    (kept / "notes.txt").write_text("keep me")
    home = tmp_path / "demo"
    home.mkdir()
    (home / MARK).write_text("")
    (home / "away").symlink_to(kept)
    (home / "prints").mkdir()
    demo._clear(home)
    assert list(home.iterdir()) == []
    assert (kept / "notes.txt").read_text() == "keep me"
