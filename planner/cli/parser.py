"""Every command and option; nothing heavy is imported here, so that --help is immediate."""

from __future__ import annotations

import argparse
from typing import NoReturn

from planner import __version__
from planner.text import clean_line

EPILOG = """\
the loop:  film add NOTES -> needs -> plan -> print plan -> log -> season
dates:     2026-11-26, today, tomorrow, fri, 'next tue'
folder:    STOPSHEET_HOME moves the data folder; NO_COLOR is respected
"""


class Parser(argparse.ArgumentParser):
    """Refuses in one sentence, as everything here does."""

    def error(self, message: str) -> NoReturn:
        """Say what is wrong and where help is; exit 2."""
        self.exit(2, f"{self.prog.split()[0]}: {clean_line(message)} (see '{self.prog} --help')\n")


def build_parser() -> Parser:
    """Return the whole command tree."""
    parser = Parser(
        prog="stopsheet",
        description="From film notes to tomorrow's timed practice, and back.",
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action="version", version=f"stopsheet {__version__}")
    parser.set_defaults(run="standing:standing", json=False)
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", parser_class=Parser)
    _app(commands)
    _demo(commands)
    _team(commands)
    _film(commands)
    _plan(commands)
    _floor(commands)
    _season(commands)
    _calendar(commands)
    _drills(commands)
    _upkeep(commands)
    return parser


Commands = argparse._SubParsersAction


def _command(commands: Commands[Parser], name: str, run: str, words: str, json: bool = True) -> Parser:
    made = commands.add_parser(name, help=words, description=words)
    made.set_defaults(run=run)
    if json:
        # Said before or after the name of a part, it holds: a part that is not told leaves it as it was.
        made.add_argument(
            "--json", action="store_true", default=argparse.SUPPRESS, help="print JSON instead of text"
        )
    return made


def _group(commands: Commands[Parser], name: str, run: str, words: str) -> Commands[Parser]:
    made = _command(commands, name, run, words)
    return made.add_subparsers(title="what to do", metavar="WHAT", parser_class=Parser)


def _app(commands: Commands[Parser]) -> None:
    made = _command(commands, "app", "app:app", "open the terminal app ('stopsheet' alone too)", json=False)
    _looks(made)


def _looks(made: Parser) -> None:
    made.add_argument("--light", action="store_true", help="dark letters on a light ground")
    made.add_argument("--no-mouse", action="store_true", help="leave the mouse to the terminal")


def _demo(commands: Commands[Parser]) -> None:
    made = _command(commands, "demo", "demo:demo", "an invented season, end to end: plan and PDF", json=False)
    made.add_argument("--folder", help="where to put it (default: a folder 'demo' beside your data)")
    made.add_argument("--open", action="store_true", help="then look around in it in the terminal app")
    _looks(made)


def _team(commands: Commands[Parser]) -> None:
    what = _group(commands, "team", "team:show", "the team, its roster, gym, games and what is taught")
    new = _command(what, "new", "team:new", "set up the team or change its name and season", json=False)
    new.add_argument("name")
    new.add_argument("--from", dest="start", metavar="DATE", help="first day of the season")
    new.add_argument("--to", dest="end", metavar="DATE", help="last day of the season")
    new.add_argument("--level", default="", help="such as 'under 16'")
    new.add_argument("--further", action="store_true", help="a further team, beside the one that is there")
    _command(what, "list", "teams:listing", "the teams of this data folder")
    use = _command(what, "use", "teams:use", "work with another team from here on", json=False)
    use.add_argument("name")
    player = _command(what, "player", "team:player", "add, change or remove a player", json=False)
    player.add_argument("jersey")
    player.add_argument("--position", default="", help="such as guard, wing or big")
    player.add_argument("--name", default="", help="optional; a jersey is enough")
    player.add_argument("--remove", action="store_true")
    gym = _command(what, "gym", "team:gym", "say when how much of the gym is there", json=False)
    gym.add_argument("day", help="a weekday, a date, or a rule such as FREQ=WEEKLY;BYDAY=TU,TH")
    gym.add_argument("start", metavar="FROM")
    gym.add_argument("end", metavar="TO")
    gym.add_argument("--halves", type=int, choices=(0, 1, 2), default=2, help="half courts that are free")
    gym.add_argument("--note", default="")
    fixed = _command(what, "fixed", "team:fixed", "put a fixed block into every practice", json=False)
    fixed.add_argument("title")
    fixed.add_argument("minutes", type=int)
    fixed.add_argument("--at", default="last", help="first, last, or minutes after the start")
    fixed.add_argument("--effort", type=int, default=3, help="CR-10 rating")
    fixed.add_argument("--day", help="only on this weekday")
    game = _command(what, "game", "team:game", "add a game, played or to come", json=False)
    game.add_argument("date")
    game.add_argument("opponent")
    game.add_argument("--venue", default="", choices=("home", "away", "neutral", ""))
    game.add_argument("--number", type=int, metavar="N", help="change that game instead of adding one")
    gone = _command(what, "remove", "house:remove", "take away a gym time, fixed block or game", json=False)
    gone.add_argument("kind", choices=("gym", "fixed", "game"))
    gone.add_argument("number", type=int, help="its number ('stopsheet team' lists them)")
    _team_plays(what)


def _team_plays(what: Commands[Parser]) -> None:
    teach = _command(what, "teach", "team:teach", "what we teach: switch a breakdown on or off", json=False)
    teach.add_argument("breakdown")
    teach.add_argument("state", choices=("on", "off"))
    emphasis = _command(what, "emphasis", "team:emphasis", "weigh a principle's need", json=False)
    emphasis.add_argument("principle")
    emphasis.add_argument("factor", type=float)
    emphasis.add_argument("--since", metavar="DATE")
    exposure = _command(what, "exposure", "team:exposure", "weigh a need for the next opponent", json=False)
    exposure.add_argument("principle")
    exposure.add_argument("factor", type=float, help="how much more they go at it; 1 is neutral")
    exposure.add_argument("--game", type=int, metavar="N", help="number of the game (default: the next one)")
    coverage = _command(what, "coverage", "team:coverage", "what we play: list or choose", json=False)
    coverage.add_argument("name", nargs="?", help="such as show, drop, switch or zone")
    coverage.add_argument("state", nargs="?", choices=("on", "off"), default="on")
    floor = _command(what, "floor", "team:floor", "possessions each player defended in a game", json=False)
    floor.add_argument("game", type=int)
    floor.add_argument("told", nargs="+", metavar="JERSEY=N", help="such as 7=41")
    passed = _command(what, "passed", "team:passed", "record the highest stage passed", json=False)
    passed.add_argument("principle")
    passed.add_argument("stage", help="walk, guided, contested, live or none")
    things = _command(what, "have", "team:have", "what the team has to bring: list or tell")
    things.add_argument("told", nargs="*", metavar="THING=N", help="such as pads=2, chairs=0, cones=usual")
    rule = _command(what, "set", "team:setting", "change a house rule or a planning weight", json=False)
    rule.add_argument("key")
    rule.add_argument(
        "value", help="a number; for 'start' a time of day, for 'court' a rule book; 'usual' sets it back"
    )


def _film(commands: Commands[Parser]) -> None:
    what = _group(commands, "film", "film:show", "film notes: read, add, list, take back, sort, answer")
    for name, run, words in (
        ("read", "film:read", "show what files would add; adds nothing"),
        ("add", "film:add", "add what files say; the same file twice adds nothing"),
    ):
        made = _command(what, name, run, words)
        made.add_argument("files", nargs="+", metavar="FILE", help="files, or folders of them")
        made.add_argument(
            "--column",
            action="append",
            default=[],
            metavar="HEADER=MEANING",
            help="what a table's column means; remembered",
        )
        made.add_argument("--possessions", type=int, metavar="N", help="watched, where the note does not say")
        if name == "add":
            made.add_argument("--game", type=int, help="number of the game ('stopsheet team' lists them)")
    listed = _command(what, "list", "film:show", "list the film notes that are in")
    listed.add_argument("--undone", action="store_true", help="those taken back too")
    shown = _command(what, "show", "film:sheet", "a film note as a typed sheet that reads back", json=False)
    shown.add_argument("number", type=int, help="of the film note ('stopsheet film list')")
    shown.add_argument("--to", metavar="FILE", help="default: shown here")
    shown.add_argument("--overwrite", action="store_true", help="even a file that is there")
    undo = _command(what, "undo", "film:undo", "take a film note back whole", json=False)
    undo.add_argument("number", nargs="?", type=int, help="the last one added if not given")
    _command(what, "unclear", "film:unclear", "list the lines that could not be read")
    sort = _command(what, "sort", "film:sort", "say what unclear lines mean", json=False)
    sort.add_argument(
        "what",
        nargs="+",
        metavar="NUMBER... MEANING [JERSEY...]",
        help="a breakdown, not-ours, not-a-mistake or nothing",
    )
    sort.add_argument("--players", nargs="+", default=[], metavar="JERSEY", help="who it was")
    sort.add_argument("--same", action="store_true", help="all lines worded alike too")
    watched = _command(what, "watched", "film:watched", "say how many possessions a note covers", json=False)
    watched.add_argument("number", type=int, help="of the film note ('stopsheet film list')")
    watched.add_argument("possessions", type=int)
    _proposals(what)
    _live(what)
    own = _command(what, "words", "film:words", "your own words, learnt by sorting")
    own.add_argument("--forget", metavar="PHRASE")


def _proposals(what: Commands[Parser]) -> None:
    listed = _command(what, "proposals", "film_proposals:show", "what narrated film proposes and waits")
    listed.add_argument("--note", type=int, metavar="N", help="of this film note alone")
    listed.add_argument("--all", action="store_true", help="those answered too")
    for name, run, words in (
        ("yes", "film_proposals:yes", "proposals that are right: from now on they count"),
        ("no", "film_proposals:no", "proposals that are none of our breakdowns"),
    ):
        made = _command(what, name, run, words)
        made.add_argument("numbers", nargs="*", metavar="NUMBER", help="such as 3 5-9")
        made.add_argument("--note", type=int, metavar="N", help="all that wait of this film note")
        made.add_argument("--all", action="store_true", help="all that wait")
        if name == "no":
            made.add_argument("--sure-below", type=float, metavar="S", help="all as little sure, 0 to 1")
            continue
        made.add_argument("--sure-above", type=float, metavar="S", help="all as sure, 0 to 1")
        made.add_argument("--as", dest="meant", metavar="BREAKDOWN", help="it is another breakdown")
        made.add_argument("--players", nargs="+", default=[], metavar="JERSEY", help="who it was")


def _live(what: Commands[Parser]) -> None:
    enter = _command(what, "enter", "watch:enter", "enter film while watching, key by key; kept at once")
    enter.add_argument("game", type=int, metavar="GAME", help="its number ('stopsheet team' lists them)")
    enter.add_argument(
        "keys",
        nargs="*",
        metavar="KEY",
        help="letter or breakdown, jersey, .2 (points), next, Q2, undo; - reads them line by line",
    )
    end = enter.add_mutually_exclusive_group()
    end.add_argument("--finish", action="store_true", help="add what was entered to the game")
    end.add_argument("--drop", action="store_true", help="put it aside without adding it")
    letters = _command(what, "letters", "watch:letters", "the letters of live entry: show or change")
    letters.add_argument("pairs", nargs="*", metavar="LETTER=BREAKDOWN", help="such as k=no-talk")


def _plan(commands: Commands[Parser]) -> None:
    needs = _command(commands, "needs", "needs:needs", "what costs us most, with intervals")
    needs.add_argument("--as-of", metavar="DATE", help="as it stood on that day")
    needs.add_argument(
        "--cause",
        choices=("all", "first"),
        default="all",
        help="charge every breakdown of a possession (default) or the first alone",
    )
    needs.add_argument("--all", action="store_true", help="everything, not just what fits the screen")
    views = needs.add_mutually_exclusive_group()
    views.add_argument("--breakdowns", action="store_true", help="by breakdown instead of principle")
    views.add_argument("--more-film", action="store_true", help="what one more game of film would tell")
    views.add_argument("--players", action="store_true", help="who was charged with what, by jersey")
    plan = _command(commands, "plan", "plan:plan", "build tomorrow's timed practice")
    plan.add_argument(
        "edit", nargs="*", metavar="edit ...", help="change the stored plan by hand: 'plan edit' shows how"
    )
    plan.add_argument("--on", default="tomorrow", metavar="DATE")
    plan.add_argument("--minutes", type=int)
    plan.add_argument("--start", metavar="HH:MM")
    plan.add_argument("--squad", type=int, metavar="N", help="how many players will be there")
    plan.add_argument(
        "--away", "--absent", nargs="+", default=[], metavar="JERSEY", help="players who will not"
    )
    plan.add_argument(
        "--late", nargs="+", default=[], metavar="JERSEY@HH:MM", help="players who come later, and when"
    )
    plan.add_argument("--pin", nargs="+", action="extend", default=[], metavar="DRILL[=MIN]")
    plan.add_argument("--keep-out", nargs="+", action="extend", default=[], metavar="DRILL")
    plan.add_argument(
        "--fixed", nargs=3, action="append", default=[], metavar=("TITLE", "MIN", "AT"), help="one more block"
    )
    plan.add_argument(
        "--film-session",
        metavar="MIN[@HH:MM]",
        help="film in the classroom first, or at that time; it names the clips of what costs most",
    )
    plan.add_argument("--coaches", type=int)
    side = plan.add_mutually_exclusive_group()
    side.add_argument(
        "--stations",
        nargs="*",
        action="extend",
        metavar="FIRST,SECOND[=MIN]",
        help="two drills side by side at two baskets, groups swap: the best pair, or the ones named",
    )
    side.add_argument("--no-stations", action="store_true", help="one drill at a time")
    plan.add_argument(
        "--groups",
        choices=("need", "position", "even"),
        help="who begins at which station: most charged first (default), like with like, evenly",
    )
    plan.add_argument(
        "--again", action="store_true", help="start from the stored plan's wishes, with these on top"
    )
    _plan_ways(plan)
    second = _command(commands, "versions", "versions:show", "plans that came second to another coach's")
    second.add_argument("--on", metavar="DATE")
    which = second.add_mutually_exclusive_group()
    which.add_argument("--show", type=int, metavar="N", help="show this version")
    which.add_argument("--take", type=int, metavar="N", help="let it stand; the other is kept")
    printed = _command(
        commands, "print", "plan:print_", "put plan, cards or season on paper or in a file", json=False
    )
    printed.add_argument("what", nargs="?", default="plan", choices=("plan", "drill", "season"))
    printed.add_argument("ids", nargs="*", metavar="ID", help="after 'drill': one card a page")
    printed.add_argument("--on", metavar="DATE", help="the plan of that day (default: the next one)")
    printed.add_argument(
        "--to",
        metavar="FILE",
        help="plan: .pdf, .html, .png, .ics, .txt, .json; drill: .pdf, .svg, .html, .txt, .json;"
        " season: .pdf, .csv, .json, .ics",
    )
    printed.add_argument(
        "--for",
        dest="audience",
        default="coach",
        choices=("coach", "assistant", "players"),
        help="the plan as a card per basket, or as players' cards to cut apart",
    )
    printed.add_argument("--since", metavar="DATE", help="season: from this day")
    printed.add_argument("--until", metavar="DATE", help="season: to this day")
    printed.add_argument("--frame", type=int, metavar="N", help="which diagram goes into an .svg")
    _court(printed)
    printed.add_argument("--paper", default="letter", choices=("letter", "a4"))
    printed.add_argument("--large", action="store_true", help="large print")
    printed.add_argument("--no-why", action="store_true", help="leave the reasons off")
    printed.add_argument("--overwrite", action="store_true", help="even a file stopsheet did not make")


def _plan_ways(plan: Parser) -> None:
    plan.add_argument("--until-game", action="store_true", help="all practices until the next game, together")
    plan.add_argument(
        "--take", nargs="+", default=[], metavar="DATE", help="with --until-game: keep these days alone"
    )
    plan.add_argument("--show", action="store_true", help="the stored plan, what to mind; builds nothing")
    plan.add_argument("--ahead", action="store_true", help="the days until the next game; builds nothing")
    plan.add_argument("--what-if", action="store_true", help="look at the plan without keeping it")
    plan.add_argument("--exact", action="store_true", help="with --what-if: search to the end")
    plan.add_argument("--players", action="store_true", help="each player's minutes per principle as well")
    plan.add_argument("--why-not", metavar="DRILL", help="what it would cost to have this drill in it")
    plan.add_argument("--load", type=float, help="most session load (CR-10 x minutes); 0 for none")


def _season(commands: Commands[Parser]) -> None:
    log = _command(commands, "log", "season:log", "what was really done")
    log.add_argument("practice", nargs="?", metavar="DATE", help="default: the latest planned one")
    log.add_argument(
        "--took", nargs="+", default=[], metavar="SEG=MIN", help="minutes that differed; 0: not run"
    )
    log.add_argument("--stops", nargs="+", default=[], metavar="SEG=N/OF", help="stops and tries of a drill")
    log.add_argument("--absent", nargs="+", default=[], metavar="JERSEY")
    log.add_argument(
        "--from", dest="file", metavar="FILE", help="what the court-side page noted; - reads it here"
    )
    log.add_argument("--rating", type=int, help="effort of the session, CR-10, asked half an hour afterwards")
    season = _command(commands, "season", "season:season", "where the minutes went, and what came of it")
    season.add_argument("--since", metavar="DATE")
    season.add_argument("--until", metavar="DATE")
    season.add_argument("--all", action="store_true", help="everything, not just what fits the screen")
    season.add_argument(
        "--compare", nargs=2, metavar="DATE..DATE", help="two periods, or seasons, side by side"
    )
    what = season.add_subparsers(title="what to show", metavar="WHAT", parser_class=Parser)
    _season_minutes(what)
    _season_work(what)


def _part(what: Commands[Parser], name: str, run: str, words: str) -> Parser:
    """Add a part of the season; what stands before its name holds for it too."""
    made = _command(what, name, run, words, json=False)
    made.add_argument("--since", metavar="DATE", default=argparse.SUPPRESS)
    made.add_argument("--until", metavar="DATE", default=argparse.SUPPRESS)
    made.add_argument("--all", action="store_true", default=argparse.SUPPRESS, help="everything")
    made.add_argument("--json", action="store_true", default=argparse.SUPPRESS, help="print JSON")
    return made


def _season_minutes(what: Commands[Parser]) -> None:
    minutes = _part(what, "minutes", "season_parts:minutes", "minutes by week, month, stage, player or plan")
    minutes.add_argument(
        "--by", choices=("week", "month", "stage", "player", "plan"), default="week", help="plan: beside done"
    )
    minutes.add_argument("--principle")
    balance = _part(what, "balance", "season_parts:balance", "share of the minutes beside share of the need")
    balance.add_argument("--by", choices=("week", "month"), default="week")
    target = _part(what, "target", "season_parts:target", "minutes a week wanted: set one, or show all")
    target.add_argument("principle", nargs="?")
    target.add_argument("minutes", nargs="?", type=float, help="a week; 0 clears")
    progress = _part(what, "progress", "season_parts:progress", "stages, scores, and steps proposed")
    progress.add_argument("principle", nargs="?", help="its drills and history")
    accept = _part(what, "accept", "season_parts:accept", "take up the step proposed for a principle")
    accept.add_argument("principle")


def _season_work(what: Commands[Parser]) -> None:
    evidence = _part(what, "evidence", "season_work:evidence", "rates before and under an emphasis")
    evidence.add_argument("principle", nargs="?", help="its run chart too")
    evidence.add_argument("--split", metavar="DATE", help="before and after this day instead")
    learn = _part(what, "learn", "season_work:learn", "what the season says of r, tau and half-life")
    learn.add_argument("--use", action="store_true", help="plan with it from now on")
    load = _part(what, "load", "season_work:load", "load, monotony, hours against limits; heat")
    load.add_argument("--heat", metavar="WBGT", help="such as 88.1, 88.1F or 31.2C, measured on the spot")
    load.add_argument("--region", metavar="ID", help="whose heat table")
    limits = _part(what, "limits", "season_work:limits", "limits on hours: presets, or your own")
    limits.add_argument("preset", nargs="?", metavar="PRESET")
    for name, words in (
        ("week", "hours a week"),
        ("day", "hours a day"),
        ("session", "hours a session"),
        ("contest", "hours that a game day counts"),
    ):
        limits.add_argument(f"--{name}", type=float, metavar="HOURS", help=words)
    limits.add_argument("--days", type=int, metavar="N", help="days a week with practice or a game")
    limits.add_argument("--off", action="store_true", help="no limits")
    limits.add_argument("--region", metavar="ID", help="whose heat table to go by")
    scout = _part(what, "scout", "season_work:scout", "what film of an opponent suggests")
    scout.add_argument("opponent")
    scout.add_argument("--film", metavar="DATE", help="add a game of theirs that was only watched")


def _floor(commands: Commands[Parser]) -> None:
    what = _group(commands, "floor", "floor:status", "the running practice: clock, counting, making up time")
    start = _command(what, "start", "floor:start", "begin the planned practice of today")
    start.add_argument("--on", metavar="DATE", help="run the plan of another day")
    for name, words in (
        ("status", "now, next, and how late"),
        ("next", "go to what comes next; after the last, practice is over"),
        ("back", "go back to what came before"),
        ("pause", "stop the clock, or let it run again"),
        ("undo", "take back what happened last"),
        ("resume", "take up the run whose log was undone"),
        ("drop", "put the run aside without logging it"),
    ):
        _command(what, name, f"floor:{name.replace('next', 'next_')}", words)
    stop = _command(what, "stop", "floor:stop", "end practice; 'floor log' then keeps it")
    stop.add_argument("--as-due", action="store_true", help="left running: let it have ended when due")
    extend = _command(what, "extend", "floor:extend", "give the running drill more minutes")
    extend.add_argument("minutes", nargs="?", type=int, default=1, help="below zero for fewer")
    count = _command(what, "count", "floor:count", "count stops and misses of the running drill")
    count.add_argument("what", choices=("stop", "miss"))
    count.add_argument("times", nargs="?", type=int, default=1)
    late = _command(what, "catch-up", "floor:catch_up", "make up time: shorten the rest, drop, or plan anew")
    late.add_argument("how", choices=("shorten", "drop", "plan"))
    late.add_argument("drill", nargs="?", metavar="NUMBER", type=int, help="which to drop, from 1")
    late.add_argument("--look", action="store_true", help="show it without changing anything")
    log = _command(what, "log", "floor:log", "log the practice that is over, as it was run")
    log.add_argument("--took", nargs="+", default=[], metavar="N=MIN", help="minutes to correct; 0: not run")
    log.add_argument("--stops", nargs="+", default=[], metavar="N=STOPS/TRIES")
    log.add_argument("--absent", nargs="+", default=[], metavar="JERSEY")
    log.add_argument("--rating", type=int, help="effort of the session, CR-10, asked half an hour afterwards")


def _calendar(commands: Commands[Parser]) -> None:
    what = _group(commands, "calendar", "calendar:show", "what lies ahead; calendar files out and in")
    export = _command(what, "export", "calendar:export", "practices and games as an .ics file", json=False)
    export.add_argument("--to", metavar="FILE", help="default: prints/practices.ics in the data folder")
    export.add_argument("--overwrite", action="store_true", help="even a file stopsheet did not make")
    read = _command(what, "read", "calendar:read", "show what an .ics file would add; adds nothing")
    read.add_argument("file", metavar="FILE")
    add = _command(what, "add", "calendar:add", "add the games and closed gyms of an .ics file")
    add.add_argument("file", metavar="FILE")


def _drills(commands: Commands[Parser]) -> None:
    what = _group(commands, "drills", "drills:list_", "the drill library and the team's own drills")
    _drills_found(what)
    _drills_own(what)


def _drills_found(what: Commands[Parser]) -> None:
    stages = ("walk", "guided", "contested", "live")
    listed = _command(what, "list", "drills:list_", "list drills, all or those that fit")
    listed.add_argument("words", nargs="*", metavar="WORD", help="words in title, text or cues")
    listed.add_argument("--principle")
    listed.add_argument("--stage", choices=stages)
    listed.add_argument("--kind", choices=("drill", "warm-up", "cool-down", "fixed"))
    listed.add_argument("--players", type=int, metavar="N", help="that so many can run")
    listed.add_argument("--minutes", type=int, metavar="N", help="that fit into so many")
    listed.add_argument("--equipment", nargs="+", default=[], metavar="WORD", help="that use this")
    listed.add_argument("--without", nargs="+", default=[], metavar="WORD", help="that do not need this")
    listed.add_argument("--half-court", action="store_true", help="that need half the floor at most")
    listed.add_argument("--own", action="store_true", help="the team's own")
    show = _command(what, "show", "drills:show", "show one drill card with its diagrams")
    show.add_argument("drill", metavar="ID")
    show.add_argument("--frame", type=int, metavar="N", help="this diagram alone, large")
    show.add_argument("--words", action="store_true", help="tell the diagrams in words, for screen readers")
    show.add_argument("--key", action="store_true", help="add what the marks mean")
    _court(show)
    ladder = _command(what, "ladder", "drills:ladder", "a principle's drills from walk to live")
    ladder.add_argument("principle", nargs="?", help="all principles in short if not given")
    _command(what, "check", "drills:check", "check the library: every finding with file and line")


def _drills_own(what: Commands[Parser]) -> None:
    new = _command(
        what, "new", "own_drills:new", "begin a drill of your own, as a file to fill in", json=False
    )
    new.add_argument("drill", metavar="ID", help="lower-case words joined by hyphens")
    new.add_argument("--title", default="")
    new.add_argument("--principle", default="")
    new.add_argument("--stage", choices=("walk", "guided", "contested", "live"))
    copy = _command(
        what, "copy", "own_drills:copy", "make a drill your own; it replaces the shipped one", json=False
    )
    copy.add_argument("drill", metavar="ID")
    copy.add_argument("new", nargs="?", default="", metavar="NEW-ID", help="a drill beside it instead")
    for name, words in (
        ("edit", "open a drill of your own in $VISUAL or $EDITOR; a shipped one is copied first"),
        ("remove", "move a drill of your own to the trash folder"),
        ("restore", "bring back what the trash folder holds of a drill"),
    ):
        made = _command(what, name, f"own_drills:{name}", words, json=False)
        made.add_argument("drill", metavar="ID")


def _court(parser: Parser) -> None:
    parser.add_argument(
        "--court", choices=("school", "college", "international"), help="whose lines (default: the team's)"
    )


def _upkeep(commands: Commands[Parser]) -> None:
    _command(commands, "undo", "upkeep:undo", "take back what was done last", json=False)
    backup = _command(
        commands, "backup", "upkeep:backup", "save a copy of all data, your own drills included", json=False
    )
    backup.add_argument("--to", metavar="FOLDER")
    restore = _command(commands, "restore", "upkeep:restore", "bring a copy or an export back", json=False)
    restore.add_argument("file", help="what 'backup' or 'export' made")
    export = _command(commands, "export", "upkeep:export", "write all data as plain files", json=False)
    export.add_argument(
        "--to", metavar="PLACE", default="-", help="a .json or .zip file or a new folder; - prints JSON"
    )
    export.add_argument(
        "--anonymous", action="store_true", help="without names, opponents, notes and the words of film"
    )
    export.add_argument(
        "--weeks", type=int, default=0, metavar="N", help="move all dates of an anonymous export by N weeks"
    )
    _command(commands, "check", "upkeep:check", "check database, files and library")
