"""The first run: look around in the demo season, or set up a team in five questions."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.clock import parse_clock, parse_date
from planner.desk.desk import Desk
from planner.desk.team import add_game, clean_jersey, save_player, set_setting, set_up
from planner.problem import Refusal
from planner.screens.dialogs import TypeDialog
from planner.screens.widgets.choose import ChooseDialog
from planner.store.values import PlayerInfo, TeamInfo

if TYPE_CHECKING:
    from planner.screens.app import StopsheetApp

WAYS = [
    (
        "demo",
        "Look around in an invented season first\n  in a folder of its own; nothing of yours is touched",
    ),
    ("new", "Set up your team\n  five questions; all of it can be changed later"),
]

QUESTIONS = (
    ("name", "What is the team called?", "", "Your team"),
    ("jerseys", "Which jerseys are on the roster? A jersey is enough, no names needed.", "", "00 4 7 11 23"),
    ("start", "When does practice usually start?", "16:30", "16:30 or 4:30pm"),
    ("minutes", "How many minutes does it last?", "90", "90"),
    ("game", "Next game: date and opponent? Leave empty if none.", "", "2026-12-04 Harbour Point"),
)


async def first_run(app: StopsheetApp) -> None:
    """Ask which way to begin and go it; called in a worker, so that dialogs can be awaited."""
    way = await app.push_screen_wait(ChooseDialog("Welcome to stopsheet", WAYS))
    if way == "demo":
        app.open_demo()
    elif way == "new":
        answers: dict[str, str] = {}
        for key, question, value, hint in QUESTIONS:
            answer = await app.push_screen_wait(TypeDialog(question, value, hint))
            if answer is None:
                app.notify("Stopped; nothing was set up. Press 1 to begin again.")
                return
            answers[key] = answer.strip()
        app.set_up_team(answers)
    else:
        app.notify("Press 1 when you want to begin.")


def set_up_from(desk: Desk, answers: dict[str, str]) -> None:
    """Set up a team from the five answers; all are checked before anything is written.

    Raises:
        Refusal: an answer cannot be used; nothing was written.

    """
    if not answers["name"]:
        raise Refusal("A team needs a name.")
    jerseys = [clean_jersey(one) for one in answers["jerseys"].replace(",", " ").split()]
    start = parse_clock(answers["start"] or "16:30")
    minutes = answers["minutes"] or "90"
    if not minutes.isdigit() or not 10 <= int(minutes) <= 300:
        raise Refusal(f"'{minutes}' minutes are no practice; give 10 to 300.")
    day, _, opponent = answers["game"].partition(" ")
    game = (parse_date(day, desk.today), opponent.strip() or "Opponent") if day else None
    set_up(desk, TeamInfo(answers["name"]))
    for one in jerseys:
        save_player(desk, PlayerInfo(one))
    set_setting(desk, "start", start)
    set_setting(desk, "minutes", int(minutes))
    if game is not None:
        add_game(desk, *game)
