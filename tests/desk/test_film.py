"""Film at the desk: each file whole or not at all, sorting that teaches, everything undone."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import pytest

from planner.desk.desk import Desk
from planner.desk.film import add_files, film_list, read_files, undo_film
from planner.desk.film_reading import film_files
from planner.desk.film_sorting import (
    forget_word,
    own_words,
    sort_line,
    sort_lines,
    unclear_groups,
    unclear_lines,
)
from planner.desk.team import save_player
from planner.desk.undo import undo_last
from planner.problem import Refusal
from planner.store import queries
from planner.store.values import PlayerInfo, TeamInfo

HEAD = "Date,2026-11-0{n}\nOpponent,Club {n}\nClock,Pts,Mistake,Player\n"
ROWS = "8:42,2,zonk,21\n8:20,0,,\n8:00,3,zonk,4\n7:40,2,no box out,99\n"


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    made = Desk(tmp_path / "home", dt.date(2026, 12, 1), now=lambda: dt.datetime(2026, 12, 1, tzinfo=dt.UTC))
    with made.store.session() as session:
        queries.save_team(session, TeamInfo("Herons"))
    for jersey, name in (("4", "Ada Rook"), ("21", "Bea Odell")):
        save_player(made, PlayerInfo(jersey, name=name))
    yield made
    made.close()


def note(folder: Path, number: int, rows: str = ROWS) -> Path:
    path = folder / f"game{number}.csv"
    path.write_text(HEAD.format(n=number) + rows, encoding="utf-8")
    return path


def seen(desk: Desk) -> list[tuple[str, tuple[str, ...], int | None, int | None]]:
    with desk.reading() as session:
        return [(s.breakdown, s.players, s.points, s.possession) for s in queries.sightings(session)]


def test_one_bad_file_leaves_the_others(desk: Desk, tmp_path: Path) -> None:
    """Bad files are reported and the others go in; all that went in is undone as one."""
    (tmp_path / "empty.csv").write_bytes(b"")
    (tmp_path / "nogame.txt").write_text("Q1 8:42 2 no box out 21\n", encoding="utf-8")
    paths = [
        note(tmp_path, 1),
        tmp_path / "empty.csv",
        tmp_path / "missing.csv",
        tmp_path / "nogame.txt",
        note(tmp_path, 2),
    ]
    batch = add_files(desk, paths)
    assert [one.reading.path.name for one in batch.new] == ["game1.csv", "game2.csv"]
    assert [one.path.name for one in batch.refused] == ["empty.csv", "missing.csv", "nogame.txt"]
    assert all(one.why.endswith(".") for one in batch.refused)
    assert len(film_list(desk)) == 2
    again = add_files(desk, paths)
    assert (len(again.new), len(again.added)) == (0, 2)
    assert "game1.csv" in undo_last(desk)
    assert film_list(desk) == ()
    with desk.reading() as session:
        assert queries.games(session) == ()


def test_folders(desk: Desk, tmp_path: Path) -> None:
    """A folder is gone through in order; other files, hidden ones and loops of links are left alone."""
    folder = tmp_path / "film"
    (folder / "deeper").mkdir(parents=True)
    for path in (note(folder / "deeper", 2), note(folder, 1)):
        assert path.exists()
    (folder / "photo.jpg").write_bytes(b"x")
    (folder / ".hidden.csv").write_bytes(b"x")
    (folder / "deeper" / "loop").symlink_to(folder)
    (folder / "round.csv").symlink_to(folder / "round.csv")
    files, others = film_files([folder, folder / "game1.csv"])
    assert [one.name for one in files] == ["game1.csv", "round.csv", "game2.csv"]
    assert others == 1
    batch = add_files(desk, [folder])
    assert len(batch.new) == 2
    assert [one.path.name for one in batch.refused] == ["round.csv"]
    empty = tmp_path / "none"
    empty.mkdir()
    with pytest.raises(Refusal, match="holds no film note"):
        add_files(desk, [empty])


def test_reading_adds_nothing(desk: Desk, tmp_path: Path) -> None:
    """Reading shows and stores nothing."""
    batch = read_files(desk, [note(tmp_path, 1)])
    assert len(batch.readings[0].intake.sightings) == 1
    assert film_list(desk) == ()


def test_possessions_can_be_told(desk: Desk, tmp_path: Path) -> None:
    """How many possessions were watched can be said where a note does not; too few is refused."""
    path = note(tmp_path, 1, "8:42,2,no tag,21\n8:20,0,,\n")
    assert read_files(desk, [path], possessions=58).readings[0].intake.possessions == 58
    assert "more than 1" in read_files(desk, [path], possessions=1).refused[0].why


def test_sorting_teaches(desk: Desk, tmp_path: Path) -> None:
    """Alike lines are sorted together with their own players and points, and the next file knows the word."""
    add_files(desk, [note(tmp_path, 1)])
    groups = unclear_groups(desk)
    assert [(one.wording, len(one.lines)) for one in groups] == [("zonk", 2), ("no player 99", 1)]
    before = seen(desk)
    done = sort_lines(desk, [groups[0].lines[0].id], "no-tag", same=True)
    assert (len(done.lines), done.learnt) == (2, "zonk")
    assert sorted(seen(desk)) == sorted([*before, ("no-tag", ("21",), 2, 1), ("no-tag", ("4",), 3, 3)])
    assert own_words(desk) == {"zonk": "no-tag"}
    assert [s.breakdown for s in add_files(desk, [note(tmp_path, 2)]).added[0].reading.intake.sightings] == [
        "no-tag",
        "no-tag",
        "no-box-out",
    ]
    undo_last(desk)
    undo_last(desk)
    assert seen(desk) == before
    assert own_words(desk) == {}
    assert len(unclear_lines(desk)) == 3


def test_not_a_mistake_and_not_ours(desk: Desk, tmp_path: Path) -> None:
    """A wording that is no mistake, or not ours, is remembered and counts nothing; 'nothing' teaches none."""
    for number, meaning, learnt in (
        (1, "not-a-mistake", "zonk"),
        (2, "not-ours", "zonk"),
        (3, "nothing", None),
    ):
        add_files(desk, [note(tmp_path, number)])
        before = seen(desk)
        line = next(one for one in unclear_lines(desk) if "zonk" in one.text)
        done = sort_lines(desk, [line.id], meaning, same=True)
        assert (done.learnt, done.lines[0].sorted_as) == (learnt, meaning)
        assert seen(desk) == before
        if learnt:
            assert own_words(desk) == {"zonk": meaning}
            forget_word(desk, " Zonk ")
        assert own_words(desk) == {}
    with pytest.raises(Refusal, match="none of your own words"):
        forget_word(desk, "zonk")
    undo_last(desk)


def test_unknown_jerseys_are_asked_about(desk: Desk, tmp_path: Path) -> None:
    """A breakdown by an unknown jersey counts once; saying who it was charges him and counts nothing more."""
    add_files(desk, [note(tmp_path, 1)])
    assert seen(desk) == [("no-box-out", (), 2, 4)]
    asked = next(one for one in unclear_lines(desk) if "99" in one.why)
    with pytest.raises(Refusal, match="asks who it was"):
        sort_lines(desk, [asked.id], "")
    with pytest.raises(Refusal, match="no player 98"):
        sort_lines(desk, [asked.id], "", ["98"])
    with pytest.raises(Refusal, match="counts no no-tag"):
        sort_lines(desk, [asked.id], "no-tag", ["21"])
    sort_lines(desk, [asked.id], "", ["21"])
    assert seen(desk) == [("no-box-out", ("21",), 2, 4)]
    undo_last(desk)
    assert seen(desk) == [("no-box-out", (), 2, 4)]
    sort_line(desk, asked.id, "no-box-out", ["4"])
    assert seen(desk) == [("no-box-out", ("4",), 2, 4)]
    with pytest.raises(Refusal, match="sorted already"):
        sort_line(desk, asked.id, "nothing")


def test_sorting_is_whole_or_not_at_all(desk: Desk, tmp_path: Path) -> None:
    """A wrong number among several leaves all of them waiting."""
    add_files(desk, [note(tmp_path, 1)])
    lines = unclear_lines(desk)
    for numbers, meaning in (
        ([lines[0].id, 999], "no-tag"),
        ([lines[0].id, lines[2].id], "no-tag"),
        ([lines[0].id], "no-such"),
    ):
        with pytest.raises(Refusal):
            sort_lines(desk, numbers, meaning)
        assert unclear_lines(desk) == lines
        assert own_words(desk) == {}


def test_columns_are_remembered(desk: Desk, tmp_path: Path) -> None:
    """What a column means is said once and holds for the next file with that header, until it is undone."""
    text = "Date,2026-11-0{n}\nOpponent,Club {n}\nClock,Zed,Mistake\n8:42,21,no tag\n8:20,,\n"
    for number in (1, 2):
        (tmp_path / f"{number}.csv").write_text(text.format(n=number), encoding="utf-8")
    with pytest.raises(Refusal, match="No table read has a column"):
        read_files(desk, [tmp_path / "1.csv"], columns=["Nope=player"])
    read_files(desk, [tmp_path / "1.csv"], columns=["Zed=player"])
    assert read_files(desk, [tmp_path / "2.csv"]).readings[0].intake.sightings[0].players == ("21",)
    undo_last(desk)
    assert read_files(desk, [tmp_path / "2.csv"]).readings[0].intake.sightings[0].players == ()


def test_names_on_the_roster(desk: Desk, tmp_path: Path) -> None:
    """Names of the roster stand for jerseys."""
    path = note(tmp_path, 1, "8:42,2,no tag,Odell\n8:20,0,,\n8:00,2,no tag,B. Odell & Rook\n")
    assert [one.players for one in read_files(desk, [path]).readings[0].intake.sightings] == [
        ("21",),
        ("21", "4"),
    ]


def test_undone_notes_can_be_added_again(desk: Desk, tmp_path: Path) -> None:
    """A note taken back is added again by the same call, and undo brings it back too."""
    path = note(tmp_path, 1)
    add_files(desk, [path])
    undo_film(desk)
    assert film_list(desk) == ()
    undo_last(desk)
    assert len(film_list(desk)) == 1
    undo_film(desk)
    assert len(add_files(desk, [path]).new) == 1
