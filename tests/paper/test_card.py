"""The drill card in the terminal."""

from __future__ import annotations

import io

import pytest
from rich.console import Console

from planner.court.frame import Frame
from planner.desk.library import court_of, load_library
from planner.drills.library import Library
from planner.drills.pictures import frames_of
from planner.drills.vocabulary import Stage
from planner.paper.card import KEY, CardNotes, card_view, frame_view
from planner.paper.frame import plain_text
from tests.drills.making import VOCABULARY, a_drill

TITLES = {one.id: one.title for one in VOCABULARY.principles}
HALF = (
    {
        "caption": "Ball on top",
        "players": {"1": "top", "x1": "on"},
        "ball": "1",
        "moves": ["1 dribbles to the nail"],
    },
    {"caption": "Stay in front", "moves": ["x1 slides to 1"]},
    {"caption": "Out again", "moves": ["1 dribbles to the top"]},
)
FULL = ({"court": "full", "caption": "Up the floor", "players": {"1": "top"}, "ball": "1"},)


def frames(*rows: dict[str, object]) -> tuple[Frame, ...]:
    return frames_of(Library(VOCABULARY, (), diagram_rows={"d": rows}), "d", court_of("school"))


def shown(width: int = 80, **notes: object) -> str:
    return plain_text(card_view(a_drill("front"), CardNotes(TITLES, **notes), width), width)  # type: ignore[arg-type]


def test_everything_a_coach_needs_is_on_the_card() -> None:
    """Title, stage, sizes, shares, equipment, text, cues, faults, score, cautions stand there in words."""
    text = " ".join(shown().split())
    for words in (
        "The front drill ●●○○ guided",
        "4–10 players · half court · 5–12 min (usual 8) · effort 5/10",
        "Post defence 60 %, Communication 20 %",
        "Bring: 2 balls, 4 cones",
        "Set-up Two at each block",
        "Runs Three passes",
        "“Beat the feet” “High side first”",
        "Pinned behind → “Step over the foot”",
        "No catch in the lane. Target: 6 denials out of 10.",
        "Mind Elbows down.",
    ):
        assert words in text, (words, text)


def test_what_is_empty_is_not_named() -> None:
    """A card without links, notes or pictures has no headings for them."""
    bare = a_drill("front", None, kind="warm-up", scoring=None, cautions=(), shares={}, equipment=(), cues=())
    text = plain_text(card_view(bare, CardNotes()))
    for word in ("Easier", "Harder", "Mind", "Score", "Say", "Few players", "Bring", KEY, "●"):
        assert word not in text.replace("See → say", "")
    assert "warm-up · 4–10 players" in text
    assert "No principle of the defence" in text


def test_two_half_courts_stand_side_by_side_and_the_third_below() -> None:
    """At 80 columns two captions share a line; no line is wider than 80."""
    text = shown(frames=frames(*HALF))
    lines = text.splitlines()
    assert any("1 Ball on top" in line and "2 Stay in front" in line for line in lines)
    assert any(line.startswith("3 Out again") for line in lines)
    assert max(map(len, lines)) <= 80
    assert text.count("(1)") == 4  # three pictures and the key
    assert KEY.split(" · ")[3] in text


def test_a_full_court_takes_the_width() -> None:
    """A whole floor stands alone and is drawn wider than half a line."""
    drawn = [line for line in shown(frames=frames(*FULL, FULL[0])).splitlines() if "⠐⠐" in line]
    assert len(drawn) == 2
    assert all(len(line) > 50 for line in drawn)


def test_words_stand_in_for_the_pictures() -> None:
    """For a screen reader each frame is told in order, and nothing is drawn."""
    text = shown(frames=frames(*HALF), words=True)
    told = " ".join(text.split())
    assert "Frame 1 Ball on top. Half court. Attackers: 1 at the top. Defenders: x1 guarding 1." in told
    assert told.index("Frame 1") < told.index("Frame 2") < told.index("Frame 3")
    assert not any(0x2800 < ord(letter) <= 0x28FF for letter in text)


def test_one_picture_alone_is_larger_and_fits_a_small_terminal() -> None:
    """With title and caption it takes at most 24 lines of 80, and more columns than beside another."""
    notes = CardNotes(TITLES, frames(*HALF), frame=2)
    lines = plain_text(frame_view(a_drill("front"), notes)).splitlines()
    assert lines[0] == "The front drill · 2 of 3"
    assert lines[1].strip() == "Stay in front"
    assert len(lines) <= 24
    assert 50 < max(map(len, lines)) <= 80


@pytest.mark.parametrize("width", [60, 80, 100, 140])
def test_no_line_is_wider_than_asked(width: int) -> None:
    """Whatever the terminal, the text wraps at its width."""
    long = a_drill("front", Stage.LIVE, title="A title " * 20, how="A word after another. " * 60)
    out = io.StringIO()
    Console(file=out, width=width, markup=False, highlight=False).print(
        card_view(long, CardNotes(TITLES, frames(*HALF)), width)
    )
    assert max(map(len, out.getvalue().splitlines())) <= width


def test_court_lines_are_dimmed_and_players_stand_out() -> None:
    """On a terminal with colour the court is dim and the players bold; elsewhere there are no codes."""

    def printed(**kind: object) -> str:
        out = io.StringIO()
        console = Console(file=out, width=80, **kind)  # type: ignore[arg-type]
        console.print(card_view(a_drill("front"), CardNotes(TITLES, frames(HALF[0])), 80))
        return out.getvalue()

    styled = printed(force_terminal=True, color_system="standard")
    assert "\x1b[2m" in styled
    assert "\x1b[1m(1)" in styled.replace("\x1b[0m\x1b[1m", "")
    assert "\x1b" not in printed(force_terminal=False)


def test_hostile_words_are_text() -> None:
    """Square brackets are no markup."""
    text = plain_text(card_view(a_drill("front", how="Pass [bold]now[/bold] [/]."), CardNotes(TITLES)))
    assert "Pass [bold]now[/bold] [/]." in text


def test_a_shipped_card_reads_from_top_to_bottom() -> None:
    """Pictures come before the text, the text before the neighbours."""
    library = load_library()
    drill = library.by_id["shell-by-script"]
    text = plain_text(card_view(drill, CardNotes({}, frames_of(library, drill.id, court_of("school")))))
    places = [
        text.index(one) for one in ("1 Swing", KEY[:20], "Set-up", "Runs", "Say", "Score", "Easier", "Harder")
    ]
    assert places == sorted(places)
