"""Setting up: the team, its roster, gym, fixed blocks, games, what is taught and what has been passed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import asdict, replace
from typing import Any, cast

from planner.desk import zone
from planner.desk.desk import Desk
from planner.desk.library import RULES
from planner.drills.vocabulary import Stage
from planner.problem import Refusal
from planner.store import queries
from planner.store.backup import KEPT
from planner.store.values import FixedRule, GameInfo, GymRule, PlayerInfo, TeamInfo, Venue
from planner.text import clean_line, listed

SETTINGS: Mapping[str, tuple[float, float, str]] = {
    "start": (0, 1439, "minute of the day at which practice starts"),
    "minutes": (10, 300, "length of a practice"),
    "coaches": (1, 20, "coaches on the floor"),
    "warm-up": (0, 40, "minutes of warm-up"),
    "cool-down": (0, 30, "minutes of cool-down"),
    "water-every": (10, 60, "longest stretch without water, in minutes"),
    "water-minutes": (1, 10, "length of a water break"),
    "set-up-minutes": (0, 10, "minutes to change the layout of the floor"),
    "rotation-minutes": (0, 5, "minutes for two groups to change baskets between turns"),
    "waiting": (
        0,
        1,
        "part of a minute lost on a player who waits for a turn; 0 for none",
    ),
    "load-ceiling": (0, 5000, "most session load (CR-10 rating x minutes) of a practice; 0 for none"),
    "r": (0.01, 1.0, "share of a need that unlimited minutes could remove; a planning weight"),
    "tau": (5, 300, "minutes after which about two thirds of that is reached"),
    "half-life": (1, 120, "days after which half of the minutes have worn off"),
    "film-half-life": (1, 50, "games after which film counts half"),
    "pass-level": (0.5, 0.99, "how sure the scores must be that a stage is passed before it is proposed"),
    "score-half-life": (0, 365, "days after which a drill's scores count half; 0: all of the season alike"),
    KEPT: (0, 365, "copies kept of each kind the program makes by itself; 0: none by the day"),
}
"""Setting -> least, most, meaning."""

TEXT_SETTINGS: Mapping[str, tuple[tuple[str, ...], str]] = {
    "court": (RULES, "rule book whose lines the diagrams are drawn with"),
    zone.SETTING: ((), "time zone of practices and games in calendar files"),
}
"""Setting -> the words it takes (none named: any zone), meaning."""


def set_up(desk: Desk, info: TeamInfo) -> str:
    """Make the team or change its name and season."""
    name = clean_line(info.name, 80)
    if not name:
        raise Refusal("A team needs a name.")
    if info.season_start and info.season_end and info.season_end < info.season_start:
        raise Refusal(f"The season would end on {info.season_end} before it starts on {info.season_start}.")
    with desk.store.session() as session:
        before = queries.save_team(session, replace(info, name=name))
        desk.note(session, "team", f"team {name}", {"before": _plain(before) if before else None})
    return f"Team {name} is set up."


def _plain(value: Any) -> dict[str, Any]:
    """Return a frozen value as what JSON can hold."""
    return {key: one.isoformat() if isinstance(one, dt.date) else one for key, one in asdict(value).items()}


def save_player(desk: Desk, player: PlayerInfo) -> str:
    """Add a player or change one; the jersey is the key."""
    jersey = clean_jersey(player.jersey)
    made = replace(
        player, jersey=jersey, name=clean_line(player.name, 60), position=clean_line(player.position, 20)
    )
    with desk.writing() as session:
        before = queries.save_player(session, made)
        payload = {"jersey": jersey, "before": _plain(before) if before else None}
        desk.note(session, "player", f"player {jersey}", payload)
    return f"Player {jersey} is on the roster."


def clean_jersey(raw: str) -> str:
    """Return the jersey without its sign; text of one to three letters or digits.

    Raises:
        Refusal: it is none.

    """
    jersey = clean_line(raw, 10).removeprefix("#").strip()
    if not (jersey.isalnum() and len(jersey) <= 3):
        raise Refusal(f"'{clean_line(raw, 20)}' is not a jersey; give one to three digits, such as 7 or 00.")
    return jersey


def remove_player(desk: Desk, raw: str) -> str:
    """Take a player off the roster."""
    jersey = clean_jersey(raw)
    with desk.writing() as session:
        gone = queries.remove_player(session, jersey)
        if gone is None:
            raise Refusal(f"No player wears {jersey}; 'stopsheet team' shows the roster.")
        desk.note(session, "player-gone", f"player {jersey} removed", {"before": _plain(gone)})
    return f"Player {jersey} is off the roster."


def checked_game(opponent: str, venue: str) -> tuple[str, Venue]:
    """Return the opponent cleaned, and the venue.

    Raises:
        Refusal: there is no name left, or no such venue.

    """
    name = clean_line(opponent, 80)
    if not name:
        raise Refusal("A game needs an opponent.")
    if venue not in {"", "home", "away", "neutral"}:
        raise Refusal(f"'{clean_line(venue, 20)}' is no venue; say home, away or neutral.")
    return name, cast("Venue", venue)


def add_game(desk: Desk, date: dt.date, opponent: str, venue: str = "", scouted: bool = False) -> int:
    """Add a game (or a scouted opponent's game) and return its number."""
    name, where = checked_game(opponent, venue)
    with desk.writing() as session:
        number = queries.add_game(session, date, name, venue=where, scouted=scouted)
        desk.note(session, "game", f"game {number} v {name}", {"game": number})
    return number


def games(desk: Desk) -> tuple[GameInfo, ...]:
    """Return all games, oldest first."""
    with desk.reading() as session:
        return queries.games(session)


def add_gym_rule(desk: Desk, rule: GymRule) -> str:
    """Say when how much of the gym is there."""
    if rule.end <= rule.start:
        raise Refusal("The gym time ends before it starts.")
    with desk.writing() as session:
        number = queries.add_gym_rule(session, replace(rule, note=clean_line(rule.note, 80)))
        desk.note(session, "gym", "gym time", {"rule": number})
    return f"Gym time {number} is noted."


def add_fixed(desk: Desk, rule: FixedRule) -> str:
    """Put a fixed block into every practice (of a weekday)."""
    title = clean_line(rule.title, 60)
    if not title:
        raise Refusal("A fixed block needs a title.")
    with desk.writing() as session:
        number = queries.add_fixed_rule(session, replace(rule, title=title))
        desk.note(session, "fixed", f"fixed block {title}", {"rule": number})
    return f"Fixed block {number}, {title}, {rule.minutes} min."


def teach(desk: Desk, breakdown: str, taught: bool) -> str:
    """Switch a breakdown on or off ("we do not teach this")."""
    from planner.desk.scheme import scheme_on

    check_breakdown(desk, breakdown)
    with desk.writing() as session:
        covered = scheme_on(desk, session, desk.today).off.get(breakdown)
        change = queries.switch_on if taught else queries.switch_off
        if not change(session, breakdown):
            return f"'{breakdown}' was {'on' if taught else 'off'} already."
        desk.note(
            session,
            "teach",
            f"{breakdown} {'on' if taught else 'off'}",
            {"breakdown": breakdown, "on": taught},
        )
    if taught and covered:
        return f"'{breakdown}' is on, but still left out because of what you play ({covered[0]})."
    return f"'{breakdown}' is now {'counted' if taught else 'left out of the needs'}."


def set_emphasis(desk: Desk, principle: str, factor: float, since: dt.date | None = None) -> str:
    """Weigh a principle's need by a factor from a date on."""
    check_principle(desk, principle)
    if not 0 <= factor <= 10:
        raise Refusal(f"An emphasis of {factor:g} is out of range; give 0 to 10, 1 is neutral.")
    day = since or desk.today
    with desk.writing() as session:
        number = queries.add_emphasis(session, principle, factor, day)
        desk.note(session, "emphasis", f"emphasis {principle} x{factor:g}", {"emphasis": number})
    return f"{principle} counts x{factor:g} from {day.isoformat()}."


def set_passed(desk: Desk, principle: str, stage: str, how: str = "coach") -> str:
    """Record the highest stage the team has passed ("none" takes it back to nothing)."""
    check_principle(desk, principle)
    if stage not in (*Stage, "none"):
        raise Refusal(f"'{clean_line(stage, 20)}' is no stage; say walk, guided, contested, live or none.")
    reached = None if stage == "none" else Stage(stage)
    with desk.writing() as session:
        number = queries.add_progress(session, principle, reached, desk.today, clean_line(how, 60))
        desk.note(session, "passed", f"{principle} passed {stage}", {"progress": number})
    return f"{principle}: {stage} is passed."


def check_principle(desk: Desk, principle: str) -> None:
    """Refuse a word that is no principle.

    Raises:
        Refusal: with the nearest words that are.

    """
    known = list(desk.library.vocabulary.principle_by_id)
    if principle not in known:
        raise Refusal(_unknown(principle, known, "principle"))


def check_breakdown(desk: Desk, breakdown: str) -> None:
    """Refuse a word that is no breakdown.

    Raises:
        Refusal: with the nearest words that are.

    """
    known = list(desk.library.vocabulary.breakdown_by_id)
    if breakdown not in known:
        raise Refusal(_unknown(breakdown, known, "breakdown"))


def _unknown(word: str, known: list[str], kind: str) -> str:
    from difflib import get_close_matches

    said = clean_line(word, 40)
    near = get_close_matches(said, known, 3, 0.5)
    hint = f"did you mean {' or '.join(near)}?" if near else f"they are: {', '.join(known)}."
    return f"'{said}' is no {kind}; {hint}"


def set_setting(desk: Desk, key: str, value: float | str) -> str:
    """Change a house rule or a planning weight."""
    if key not in SETTINGS and key not in TEXT_SETTINGS:
        raise Refusal(_unknown(key, [*SETTINGS, *TEXT_SETTINGS], "setting"))
    if key == zone.SETTING:
        value = zone.find_zone(str(value))
    meaning, said = _checked(key, value)
    with desk.writing() as session:
        before = queries.set_setting(session, key, value)
        desk.note(session, "setting", f"{key} = {said}", {"key": key, "before": before})
    return f"{key} is now {said}: {meaning}."


def _checked(key: str, value: float | str) -> tuple[str, str]:
    """Return what a setting means and its value in words.

    Raises:
        Refusal: the value is not one of those it takes.

    """
    if key in TEXT_SETTINGS:
        words, meaning = TEXT_SETTINGS[key]
        if words and value not in words:
            raise Refusal(
                f"'{key}' must be {listed(words, 'or')} ({meaning}), not {clean_line(str(value), 20)}."
            )
        return meaning, str(value)
    low, high, meaning = SETTINGS[key]
    if isinstance(value, str) or not low <= value <= high:
        said = clean_line(value, 20) if isinstance(value, str) else f"{value:g}"
        raise Refusal(f"'{key}' must be from {low:g} to {high:g} ({meaning}), not {said}.")
    return meaning, f"{value:g}"


def overview(desk: Desk) -> dict[str, Any]:
    """Return everything that was set up, as plain values for showing and JSON."""
    from planner.desk.scheme import scheme_overview

    with desk.reading() as session:
        team = queries.team(session)
        assert team is not None
        return {
            "team": _plain(team),
            "players": [_plain(one) for one in queries.players(session)],
            "games": [_plain(one) for one in queries.games(session)],
            "gym": [_plain(one) for one in queries.gym_rules(session)],
            "fixed": [_plain(one) for one in queries.fixed_rules(session)],
            "switched_off": sorted(queries.switched_off(session)),
            "emphasis": queries.emphasis_on(session, desk.today),
            "passed": {one: stage.value for one, stage in queries.progress_on(session, desk.today).items()},
            "settings": {
                key: one
                for key, one in queries.settings(session).items()
                if key in SETTINGS or key in TEXT_SETTINGS
            },
            **scheme_overview(session),
            "home": str(desk.home),
        }
