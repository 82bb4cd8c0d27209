from __future__ import annotations

import datetime as dt
import sys
from pathlib import Path

import pytest

from planner.desk.desk import Desk, data_home, open_desk, utc_now
from planner.desk.standing import where_we_stand
from planner.desk.team import save_player, set_up
from planner.store import queries
from planner.store.values import PlayerInfo, TeamInfo
from tests.running import NOW, TODAY

unix = pytest.mark.skipif(sys.platform in {"win32", "darwin"}, reason="XDG folders are of other systems")


def test_the_data_folder_can_be_named() -> None:
    """STOPSHEET_HOME goes before everything, and '~' is the user's folder."""
    assert data_home({"STOPSHEET_HOME": "/srv/data", "XDG_DATA_HOME": "/x"}) == Path("/srv/data")
    assert data_home({"STOPSHEET_HOME": "~/hoops"}) == Path.home() / "hoops"


@unix
@pytest.mark.parametrize(
    ("shared", "home"),
    [
        (None, Path.home() / ".local" / "share" / "stopsheet"),
        ("", Path.home() / ".local" / "share" / "stopsheet"),
        ("relative/path", Path.home() / ".local" / "share" / "stopsheet"),
        ("/var/me", Path("/var/me/stopsheet")),
    ],
)
def test_the_usual_data_folder(shared: str | None, home: Path) -> None:
    """Unset, empty or relative XDG_DATA_HOME means ~/.local/share.

    XDG Base Directory Specification 0.8, https://specifications.freedesktop.org/basedir-spec/latest/ (read).
    """
    assert data_home({} if shared is None else {"XDG_DATA_HOME": shared}) == home


def test_looking_makes_nothing(tmp_path: Path) -> None:
    """Asking where things stand before there is a team leaves no file behind."""
    desk = Desk(tmp_path / "new", TODAY, lambda: NOW)
    assert where_we_stand(desk) is None
    assert not (tmp_path / "new").exists()


def test_the_next_step_follows_the_loop(tmp_path: Path) -> None:
    """First the players, then film."""
    desk = Desk(tmp_path / "new", TODAY, lambda: NOW)
    set_up(desk, TeamInfo("Herons"))
    found = where_we_stand(desk)
    assert found is not None
    assert found.next_step.startswith("say who plays")
    save_player(desk, PlayerInfo("4"))
    found = where_we_stand(desk)
    assert found is not None
    assert found.next_step.startswith("add film notes")
    desk.close()


def test_where_the_demo_stands(desk: Desk) -> None:
    """With a plan for tomorrow the next step is to print it; the evening after, to log it."""
    found = where_we_stand(desk)
    assert found is not None
    assert (found.team, found.players, found.films) == ("Marrowby Otters", 12, 10)
    assert found.plan is not None
    assert found.game is not None
    assert (found.game.date, found.game.opponent) == (dt.date(2027, 1, 16), "Pennigrove")
    assert found.next_step.startswith("print it")
    desk.today += dt.timedelta(days=1)
    found = where_we_stand(desk)
    assert found is not None
    assert found.next_step.startswith("log the last practice")


def test_a_broken_off_unit_of_work_leaves_nothing(desk: Desk) -> None:
    """What was written before a fault in the same unit is not kept."""
    with pytest.raises(ZeroDivisionError), desk.writing() as session:  # noqa: PT012  the fault comes second
        queries.set_setting(session, "minutes", 55)
        raise ZeroDivisionError
    with desk.reading() as session:
        assert queries.setting(session, "minutes") == 90


@unix
def test_files_are_readable_by_their_owner_alone(season_home: Path, tmp_path: Path) -> None:
    """The folder, the database, the prints and a new store are closed to others."""
    desk = Desk(tmp_path / "new", TODAY, lambda: NOW)
    set_up(desk, TeamInfo("Herons"))
    desk.close()
    made = [tmp_path / "new", tmp_path / "new" / "stopsheet.db", season_home / "stopsheet.db"]
    made += list((season_home / "prints").iterdir())
    for one in made:
        assert one.stat().st_mode & 0o077 == 0, one


def test_the_user_s_desk_is_of_today(tmp_path: Path) -> None:
    """A desk opened by the user is of this day, with a clock that knows its zone."""
    desk = open_desk({"STOPSHEET_HOME": str(tmp_path)})
    assert abs((desk.today - dt.datetime.now(dt.UTC).date()).days) <= 1
    assert utc_now().tzinfo is dt.UTC
    assert open_desk({"STOPSHEET_HOME": str(tmp_path)}, TODAY).today == TODAY


def test_the_database_can_be_named(tmp_path: Path) -> None:
    """STOPSHEET_DB puts the database elsewhere."""
    desk = open_desk({"STOPSHEET_HOME": str(tmp_path / "h"), "STOPSHEET_DB": f"sqlite:///{tmp_path}/my.db"})
    set_up(desk, TeamInfo("Herons"))
    assert (tmp_path / "my.db").is_file()
    desk.close()
