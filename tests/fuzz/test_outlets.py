"""One table of hostile text, and every way out: cleaned where it comes in, escaped where it goes out."""

from __future__ import annotations

import csv
import dataclasses
import datetime as dt
import io
import json
import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import icalendar
import pytest
from defusedxml import ElementTree
from rich.console import Console

from planner.build.plan import LeftOut, Plan, Segment, Station
from planner.court.diagram import read_diagrams
from planner.court.geometry import read_court
from planner.court.svg import frame_svg
from planner.data import drill_library
from planner.desk.calendar import export_calendar
from planner.desk.desk import Desk
from planner.desk.own_drills import clean_id
from planner.desk.printing import print_plan, titles
from planner.desk.season_print import print_season
from planner.paper.files import write_atomically
from planner.paper.terminal import plan_table
from planner.problem import Refusal
from planner.season.record import DonePractice, DoneSegment
from planner.store import queries
from planner.store.values import FixedRule, GymRule, PlayerInfo, TeamInfo
from planner.text import clean_block, clean_line
from tests.pdf import text_of
from tests.running import NOW, TODAY, Stopsheet, is_clean

DAY = TODAY + dt.timedelta(days=1)
WORD = "supercalifragilistic" * 15

HOSTILE: dict[str, str] = {
    "colours": "\x1b[31;1mred\x1b[0m",
    "title of the terminal": "a\x1b]0;owned\x07b\x1b]52;c;AAAA\x1b\\c",
    "cursor": "\x1b[2J\x1b[H\x9b31mgone\x1bPq\x1b\\",
    "controls": "a\x00b\x07c\x08d\x7fe\x85f\x0bg",
    "turned round": "\u202eevil\u202c \u2066x\u2069 \u200fy",
    "no width": "a\u200bb\u2060c\ufeffd",
    "half a character": "a\ud800b\udfffc",
    "markup": "[bold red]no[/] [link=file:///etc/passwd]x[/link] [@click=app.quit]y[/]",
    "typesetter": '#read("/etc/passwd") $x$ *b* #import "@preview/x:0.1.0" \\u{41} // c',
    "page": "<script>alert(1)</script><img src=x onerror=alert(1)>\"'&lt;",
    "formula": '=HYPERLINK("http://x","y")',
    "command": "@SUM(1+1)*cmd|' /C calc'!A0",
    "minus": "-2+3",
    "path": "../../../../etc/passwd",
    "path of another": "..\\..\\C:\\con",
    "lines": "BEGIN\r\nX-INJECTED:1\r\nEND:VEVENT\nATTENDEE:mailto:a@b.c",
    "long": WORD,
    "percent": "%s %n {0} ${HOME} `id` $(id)",
}
CLEAN = {name: clean_line(text, 400) for name, text in HOSTILE.items()}


def _plan(text: dict[str, str]) -> Plan:
    """Return a plan that says each text in every place where words can stand."""
    start = 16 * 60
    segments = []
    for number, one in enumerate(text.values()):
        station = (Station("weak-side-crash", one[:12], (one[:6], str(number)), "A"),)
        segments.append(Segment(start + number * 5, 5, "drill", one[:80], station, {"tag": 5}, one[:80], 4))
    left = tuple(LeftOut("box-circle", one[:80]) for one in text.values())
    minutes = 5 * len(segments)
    return Plan(DAY, start, minutes, 1.0, 1.0, True, 0.1, tuple(segments), left, tuple(text.values()))


@pytest.fixture
def home(tmp_path: Path) -> Path:
    return tmp_path / "home"


@pytest.fixture
def desk(home: Path) -> Iterator[Desk]:
    """Return the desk of a team whose every name is hostile, as the desk's verbs keep them."""
    made = Desk(home, TODAY, lambda: NOW)
    with made.store.session() as session:
        queries.save_team(
            session, TeamInfo(CLEAN["page"], TODAY - dt.timedelta(days=9), level=CLEAN["formula"])
        )
        for number, text in enumerate(CLEAN.values()):
            queries.save_player(session, PlayerInfo(str(number), text, text[:20]))
            queries.add_game(session, DAY + dt.timedelta(days=number + 1), text or "?", venue="home")
            queries.add_gym_rule(session, GymRule(900, 1080, 2, weekday=number % 7, note=text))
        queries.add_fixed_rule(session, FixedRule(CLEAN["typesetter"], 5, "last"))
        queries.save_plan(session, _plan(CLEAN), {"date": DAY.isoformat()})
    yield made
    made.close()


def _id_or_refused(text: str) -> str:
    try:
        return clean_id(text)
    except Refusal as refusal:
        return "refused" if is_clean(str(refusal)) else str(refusal)


def _told(found: Any) -> Iterator[str]:
    if isinstance(found, str):
        yield found
    elif isinstance(found, dict):
        for key, one in found.items():
            yield key
            yield from _told(one)
    elif isinstance(found, list):
        for one in found:
            yield from _told(one)


@pytest.mark.parametrize("name", sorted(HOSTILE))
def test_the_one_place_cleans(name: str) -> None:
    """No text comes through with escapes, controls, turned writing, half characters or line ends."""
    for text in (clean_line(HOSTILE[name]), clean_line(HOSTILE[name] * 99, 50), clean_block(HOSTILE[name])):
        assert is_clean(text)
        text.encode("utf-8")
    assert len(clean_line(HOSTILE[name] * 99, 50)) <= 50
    assert "\n" not in clean_line(HOSTILE[name])


def test_the_terminal_shows_words_as_words(desk: Desk) -> None:
    """On a colour terminal markup stays words, and the only escapes are the table's own colours."""
    kept = io.StringIO()
    console = Console(
        file=kept, width=140, force_terminal=True, color_system="standard", highlight=False, markup=False
    )
    console.print(plan_table(_plan(HOSTILE), titles(desk), 140))
    shown = kept.getvalue()
    assert "[bold red]" in shown
    assert is_clean(re.sub(r"\x1b\[[0-9;]*m", "", shown))
    assert "\x1b[31;1mred" not in shown


def test_commands_say_clean_lines(desk: Desk, stopsheet: Stopsheet, home: Path) -> None:
    """Whatever a command shows of such a team, as text or as JSON, is clean and whole."""
    desk.close()
    stopsheet.home = home
    for order in (
        ("team",),
        ("calendar",),
        ("film", "list"),
        ("print", "plan"),
        ("plan", "--what-if", "--pin", "x"),
    ):
        ran = stopsheet(*order)
        assert is_clean(ran.out + ran.err), order
        assert "Traceback" not in ran.err
        assert "fault of stopsheet" not in ran.err, (order, ran.err)
    for order in (("team", "--json"), ("calendar", "--json"), ("versions", "--json")):
        ran = stopsheet(*order)
        if ran.code == 0:
            assert all(is_clean(one) for one in _told(json.loads(ran.out)))


@pytest.mark.parametrize("name", sorted(HOSTILE))
def test_what_is_typed_is_cleaned_before_it_is_kept(name: str, stopsheet: Stopsheet, home: Path) -> None:
    """Hostile words typed at the command line are kept and shown clean, or refused in one clean sentence."""
    stopsheet.home = home
    text = HOSTILE[name].replace("\x00", "")
    stopsheet("team", "new", "Otters")
    for order in (
        ("team", "new", f"O{text}"),
        ("team", "player", "7", "--name", f"N{text}", "--position", f"P{text}"),
        ("team", "game", "2027-02-01", f"G{text}"),
        ("team", "gym", "tue", "16:00", "18:00", "--note", f"X{text}"),
        ("team", "fixed", f"F{text}", "5"),
        ("team", "player", text),
    ):
        ran = stopsheet(*order)
        assert ran.code in {0, 1, 2}
        assert is_clean(ran.out + ran.err), order
        assert "fault of stopsheet" not in ran.err, (order, ran.err)
    with Desk(home, TODAY, lambda: NOW).store as store, store.reading() as session:
        kept = [queries.team(session), *queries.players(session), *queries.games(session)]
        kept += [*queries.gym_rules(session), *queries.fixed_rules(session)]
        for one in kept:
            assert one is not None
            assert all(is_clean(text) for text in _told(dataclasses.asdict(one)))


def test_names_of_files_and_drills_are_said_clean(stopsheet: Stopsheet, home: Path) -> None:
    """A file or drill that is not there is named in one clean sentence."""
    stopsheet.home = home
    for name in ("colours", "turned round", "half a character", "path"):
        for order in (("film", "read", HOSTILE[name]), ("drills", "show", HOSTILE[name])):
            ran = stopsheet(*order)
            assert ran.code in {0, 1, 2}
            assert is_clean(ran.out + ran.err), order
            assert "fault of stopsheet" not in ran.err, order


def test_text_and_json_files_are_clean(desk: Desk, tmp_path: Path) -> None:
    """A plan as text and as JSON is clean."""
    text = print_plan(desk, _plan(CLEAN), tmp_path / "plan.txt").path.read_text("utf-8")
    assert is_clean(text)
    assert "[bold red]" in text
    found = json.loads(print_plan(desk, _plan(CLEAN), tmp_path / "plan.json").path.read_text("utf-8"))
    assert all(is_clean(one) for one in _told(found))


def test_the_sheet_prints_code_as_words(desk: Desk, tmp_path: Path) -> None:
    """The typesetter runs nothing: its code stands on paper as it was written, and no file was read."""
    raw = print_plan(desk, _plan(HOSTILE), tmp_path / "plan.pdf").path.read_bytes()
    text = text_of(raw)
    assert '#read("/etc/passwd")' in text.replace("“", '"').replace("”", '"')
    assert "root:" not in text
    assert "[bold red]" in text
    assert not {"\u202e", "\x1b", "\u2066"} & set(text)


class _Tags(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.scripts, self.handlers, self.sources = 0, [], []  # type: ignore[var-annotated]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.scripts += tag == "script"
        self.handlers += [key for key, _ in attrs if key.startswith("on")]
        self.sources += [value for key, value in attrs if key in {"src", "href"} and value]


def test_the_page_runs_nothing_but_its_own(desk: Desk, tmp_path: Path) -> None:
    """On the court-side page tags are words: no script, handler or address comes of them."""
    page = print_plan(desk, _plan(HOSTILE), tmp_path / "plan.html").path.read_text("utf-8")
    plain = print_plan(desk, _plan({"a": "b"}), tmp_path / "plain.html").path.read_text("utf-8")
    found, usual = _Tags(), _Tags()
    found.feed(page)
    usual.feed(plain)
    assert (found.scripts, found.handlers, found.sources) == (usual.scripts, usual.handlers, usual.sources)
    assert "&lt;script&gt;alert(1)" in page
    assert is_clean(page.replace("\u200b", ""))


def test_the_calendar_holds_one_event_each(desk: Desk, tmp_path: Path) -> None:
    """No text breaks out of its line: as many events as games and practices, and no line of its own."""
    raw = export_calendar(desk, tmp_path / "a.ics", overwrite=True).path.read_bytes()
    read = icalendar.Calendar.from_ical(raw)
    events = read.walk("VEVENT")
    assert len(events) == len(HOSTILE) + 1
    assert b"\nX-INJECTED" not in raw
    assert b"\nATTENDEE" not in raw
    assert all(len(one) <= 75 for one in raw.split(b"\r\n"))
    assert is_clean(raw.decode("utf-8").replace("\r\n", ""))


def test_a_spreadsheet_runs_no_formula(desk: Desk, tmp_path: Path) -> None:
    """In the season's table no cell begins as a formula does, unless it is a number."""
    parts = tuple(DoneSegment("drill", one, 300, shares={"tag": 5}) for one in CLEAN.values())
    with desk.writing() as session:
        queries.log_done(session, None, DonePractice("", TODAY, 960, parts, rating=5))
    path = print_season(desk, tmp_path / "season.csv").path
    rows = list(csv.reader(io.StringIO(path.read_text("utf-8-sig"))))
    assert len(rows) > 3
    for cell in (one for row in rows for one in row):
        assert is_clean(cell)
        assert not cell.startswith(("=", "+", "@", "\t", "\r")) or re.fullmatch(r"\+?[\d.e+-]+", cell)
        assert not cell.startswith("-") or re.fullmatch(r"-[\d.e+-]+", cell)


@pytest.mark.parametrize("name", ["formula", "command", "minus"])
def test_a_cell_that_would_be_a_formula_is_quoted(name: str) -> None:
    """A text that a spreadsheet would run gets a quote before it."""
    from planner.paper.review_table import _cell

    assert _cell(HOSTILE[name]).startswith("'")


@pytest.mark.parametrize("name", sorted(HOSTILE))
def test_drawings_hold_shapes_and_escaped_words(name: str) -> None:
    """A diagram is well-formed XML without script, handler or address, whatever its caption says."""
    court = read_court("s", (drill_library() / "courts" / "school.toml").read_text("utf-8"))[0]
    assert court is not None
    rows = [{"caption": HOSTILE[name], "offence": {"1": "top"}, "ball": "1"}]
    frames, _ = read_diagrams("own.toml", rows, court)
    for frame in frames:
        svg = frame_svg(frame)
        tree = ElementTree.fromstring(svg)
        assert {one.tag.rpartition("}")[2] for one in tree.iter()} <= {
            "svg",
            "title",
            "desc",
            "path",
            "circle",
            "rect",
            "g",
        }
        assert not [key for one in tree.iter() for key in one.attrib if key.startswith("on") or "href" in key]
        assert is_clean("".join(tree.itertext()))
    assert frames


@pytest.mark.parametrize("name", sorted(HOSTILE))
def test_no_name_leads_out_of_its_folder(name: str, tmp_path: Path) -> None:
    """A drill's id is plain words or refused; a file name with a NUL is refused in a sentence."""
    assert re.fullmatch(r"[a-z0-9-]+|refused", _id_or_refused(HOSTILE[name]))
    with pytest.raises(Refusal) as told:
        write_atomically(tmp_path / f"no-folder-{name}" / "a\x00b", b"x", False)
    assert is_clean(str(told.value))
