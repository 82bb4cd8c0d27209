"""``stopsheet team``: setting up, and showing what was set up."""

from __future__ import annotations

from argparse import Namespace
from typing import Any

from planner.cli.plan import block_place
from planner.cli.show import say, say_json
from planner.clock import clock_text, parse_clock, parse_date
from planner.desk import scheme
from planner.desk import team as desk_team
from planner.desk.desk import UNDO_HINT, open_desk
from planner.desk.words import coverages
from planner.problem import Refusal
from planner.store.values import FixedRule, GymRule, PlayerInfo, TeamInfo
from planner.text import clean_line

DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_DAY_NAMES = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")


def _told(sentence: str) -> int:
    say(sentence)
    say(UNDO_HINT)
    return 0


def new(arguments: Namespace) -> int:
    """Set up the team or change its name and season; ``--further``: one more team, taken in hand."""
    desk = open_desk()
    if arguments.further:
        from planner.desk.teams import new_team_beside

        desk = new_team_beside(desk, arguments.name)
    start = parse_date(arguments.start, desk.today) if arguments.start else None
    end = parse_date(arguments.end, desk.today) if arguments.end else None
    say(desk_team.set_up(desk, TeamInfo(arguments.name, start, end, clean_line(arguments.level, 40))))
    if arguments.further:
        say("It is in hand now; back to another with: stopsheet team use NAME")
    return 0


def player(arguments: Namespace) -> int:
    """Add, change or remove a player."""
    desk = open_desk()
    if arguments.remove:
        return _told(desk_team.remove_player(desk, arguments.jersey))
    made = PlayerInfo(arguments.jersey, arguments.name, arguments.position)
    return _told(desk_team.save_player(desk, made))


def gym(arguments: Namespace) -> int:
    """Say when how much of the gym is there."""
    desk = open_desk()
    start, end = parse_clock(arguments.start), parse_clock(arguments.end)
    day = clean_line(arguments.day, 120)
    when: dict[str, Any]
    if weekday(day) is not None:
        when = {"weekday": weekday(day)}
    elif "=" in day:
        when = {"rrule": day, "first": desk.today}
    else:
        when = {"date": parse_date(day, desk.today)}
    rule = GymRule(start=start, end=end, halves=arguments.halves, note=arguments.note, **when)
    return _told(desk_team.add_gym_rule(desk, rule))


def weekday(text: str) -> int | None:
    """Return 0 for Monday to 6 for Sunday, None where the text names no weekday."""
    low = text.lower()
    return next((n for n, day in enumerate(_DAY_NAMES) if len(low) >= 3 and day.startswith(low)), None)


def fixed(arguments: Namespace) -> int:
    """Put a fixed block into every practice."""
    day = weekday(arguments.day) if arguments.day else None
    if arguments.day and day is None:
        raise Refusal(f"'{clean_line(arguments.day, 20)}' is no weekday; say mon to sun.")
    rule = FixedRule(
        arguments.title, arguments.minutes, block_place(arguments.at), arguments.effort, weekday=day
    )
    return _told(desk_team.add_fixed(open_desk(), rule))


def game(arguments: Namespace) -> int:
    """Add a game, or change one."""
    desk = open_desk()
    if arguments.number is not None:
        from planner.desk.house import change_game

        date = parse_date(arguments.date, desk.today)
        return _told(change_game(desk, arguments.number, date, arguments.opponent, arguments.venue))
    number = desk_team.add_game(
        desk, parse_date(arguments.date, desk.today), arguments.opponent, arguments.venue
    )
    return _told(f"Game {number} is in the calendar.")


def teach(arguments: Namespace) -> int:
    """Switch a breakdown on or off."""
    return _told(desk_team.teach(open_desk(), arguments.breakdown, arguments.state == "on"))


def emphasis(arguments: Namespace) -> int:
    """Weigh a principle's need."""
    desk = open_desk()
    since = parse_date(arguments.since, desk.today) if arguments.since else None
    return _told(desk_team.set_emphasis(desk, arguments.principle, arguments.factor, since))


def passed(arguments: Namespace) -> int:
    """Record the highest stage passed."""
    return _told(desk_team.set_passed(open_desk(), arguments.principle, arguments.stage))


def have(arguments: Namespace) -> int:
    """Tell what the team has to bring, or list what was told."""
    from planner.desk import equipment

    desk = open_desk()
    if arguments.told:
        return _told(equipment.have(desk, arguments.told))
    table = equipment.equipment(desk)
    if arguments.json:
        say_json(table)
        return 0
    for name, count in sorted(table.items()):
        say(f"{count:4}  {name}")
    say(
        "Everything else is taken to be there."
        if table
        else "Nothing was told: everything is taken to be there."
    )
    return 0


def setting(arguments: Namespace) -> int:
    """Change a house rule or a planning weight."""
    value: float | str
    if arguments.value.strip().lower() == "usual":
        from planner.desk.house import reset_setting

        return _told(reset_setting(open_desk(), arguments.key))
    if arguments.key in desk_team.TEXT_SETTINGS:
        value = arguments.value.strip().lower()
    elif arguments.key == "start":
        value = parse_clock(arguments.value)
    else:
        try:
            value = float(arguments.value)
        except ValueError:
            raise Refusal(f"'{clean_line(arguments.value, 20)}' is no number.") from None
    return _told(desk_team.set_setting(open_desk(), arguments.key, value))


def exposure(arguments: Namespace) -> int:
    """Weigh a principle's need for the next opponent."""
    desk = open_desk()
    return _told(scheme.set_exposure(desk, arguments.principle, arguments.factor, arguments.game))


def coverage(arguments: Namespace) -> int:
    """Say that the team plays a coverage, or no longer does; without a name, list them."""
    desk = open_desk()
    if arguments.name is not None:
        return _told(scheme.set_coverage(desk, arguments.name, arguments.state == "on"))
    played = desk_team.overview(desk)["coverages"] if desk.has_team() else []
    about = ""
    for one in coverages(desk):
        if one.about != about:
            about = one.about
            say(f"{about}:")
        say(f"  {'*' if one.id in played else ' '} {one.id:15} {one.says}")
        for breakdown, why in one.off.items():
            say(f"      without {breakdown}: {why}")
    say("* what this team plays; stopsheet team coverage NAME [on|off]")
    return 0


def floor(arguments: Namespace) -> int:
    """Say how many possessions players defended in a game."""
    return _told(scheme.set_floor(open_desk(), arguments.game, scheme.parse_floor(arguments.told)))


def show(arguments: Namespace) -> int:
    """Show everything that was set up."""
    found = desk_team.overview(open_desk())
    if arguments.json:
        say_json(found)
        return 0
    team = found["team"]
    season = f"{team['season_start'] or '?'} to {team['season_end'] or '?'}"
    say(f"{team['name']}  {team['level']}  season {season}")
    say(f"data in {found['home']}")
    _lines("Roster", [f"{one['jersey']:>3}  {one['position']:8} {one['name']}" for one in found["players"]])
    _lines("Games", [_game_line(one) for one in found["games"]])
    _lines("Gym", [_gym_line(one) for one in found["gym"]])
    _lines("Fixed blocks", [_fixed_line(one) for one in found["fixed"]])
    _lines("Emphasis", [f"{key} x{value:g}" for key, value in found["emphasis"].items()])
    _lines("Passed", [f"{key}: {value}" for key, value in found["passed"].items()])
    _lines("Not taught", found["switched_off"])
    _lines("Coverages", found["coverages"])
    games = {str(one["id"]): f"{one['date']} v {one['opponent']}" for one in found["games"]}
    _lines(
        "Exposure", [_exposure_line(games.get(game, game), row) for game, row in found["exposure"].items()]
    )
    _lines("Line-ups", [f"{games.get(game, game)}: {len(row)}" for game, row in found["line_ups"].items()])
    _lines("Settings", [_setting_line(key, value) for key, value in found["settings"].items()])
    return 0


def _setting_line(key: str, value: float | str) -> str:
    return f"{key} = {value}" if isinstance(value, str) else f"{key} = {value:g}"


def _lines(title: str, lines: list[str]) -> None:
    if lines:
        say(f"\n{title}")
        for one in lines:
            say(f"  {one}")


def _exposure_line(game: str, row: dict[str, float]) -> str:
    return f"{game}: {', '.join(f'{key} x{value:g}' for key, value in row.items())}"


def _game_line(one: dict[str, Any]) -> str:
    film = f"  {one['films']} film" if one["films"] else ""
    return f"{one['id']:>3}  {one['date']}  v {one['opponent']} {one['venue']}{film}"


def _gym_line(one: dict[str, Any]) -> str:
    day = DAYS[one["weekday"]] if one["weekday"] is not None else one["date"] or one["rrule"]
    room = ("closed", "half the gym", "whole gym")[one["halves"]]
    return f"{one['id']:>3}  {day} {clock_text(one['start'])}-{clock_text(one['end'])}  {room}  {one['note']}"


def _fixed_line(one: dict[str, Any]) -> str:
    place = one["at"] if isinstance(one["at"], str) else f"{one['at']} min after the start"
    day = f" on {DAYS[one['weekday']]}" if one["weekday"] is not None else ""
    return f"{one['id']:>3}  {one['title']}, {one['minutes']} min, {place}{day}"
