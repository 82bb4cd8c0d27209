"""The library that ships holds its own rules, and can be shown and drawn whole."""

from __future__ import annotations

from collections import Counter
from functools import cache
from pathlib import Path

import pytest

from planner import data
from planner.court.describe import describe
from planner.court.diagram import read_diagrams
from planner.desk.desk import Desk
from planner.desk.drills import check_library
from planner.desk.library import RULES, court_of, load_library
from planner.drills.audit import LEAST_DRILLS
from planner.drills.library import Library
from planner.drills.pictures import frames_of
from planner.drills.vocabulary import Stage
from planner.paper.card import LARGEST, CardNotes, card_view, frame_view
from planner.paper.frame import plain_text
from tests.running import NOW, TODAY, is_clean


@cache
def library() -> Library:
    return load_library()


def test_the_check_finds_nothing(tmp_path: Path) -> None:
    """References, shares, diagrams on three courts, cues, twins, cautions and wording are in order."""
    assert check_library(Desk(tmp_path, TODAY, lambda: NOW)) == []


def test_every_principle_has_a_whole_ladder() -> None:
    """At least six drills and all four stages for each of the principles, counted by hand here."""
    counts = Counter((one.main_principle, one.stage) for one in library().drills if one.kind == "drill")
    for principle in library().vocabulary.principle_by_id:
        assert sum(counts[principle, stage] for stage in Stage) >= LEAST_DRILLS
        assert all(counts[principle, stage] for stage in Stage)


def test_every_file_is_read() -> None:
    """No file of the folder is left out."""
    assert len(library().drills) == len(list((data.drill_library() / "drills").glob("*.toml")))
    assert not library().problems


@pytest.mark.parametrize("rules", RULES)
def test_every_diagram_is_read_whole_on_every_court(rules: str) -> None:
    """Each diagram gives a frame with a caption, and with words that say more than the caption."""
    for drill, rows in library().diagram_rows.items():
        frames, problems = read_diagrams(drill, list(rows), court_of(rules))
        assert problems == []
        assert len(frames) == len(rows)
        assert all(one.caption and len(describe(one)) > len(one.caption) + 20 for one in frames), drill


def test_every_card_fits_eighty_columns() -> None:
    """No line of a shown drill is wider than 80, and a single diagram fits a terminal of 80 by 24."""
    titles = {one.id: one.title for one in library().vocabulary.principles}
    for drill in library().drills:
        frames = frames_of(library(), drill.id, court_of("international"))
        card = plain_text(card_view(drill, CardNotes(titles, frames), 80), 80)
        assert max(map(len, card.splitlines())) <= 80, drill.id
        assert all(cue in " ".join(card.split()) for cue in drill.cues)
        assert is_clean(card)
        if frames:
            alone = plain_text(frame_view(drill, CardNotes(titles, frames, 1), 80), 80)
            assert len(alone.splitlines()) <= 24
            assert max(map(len, alone.splitlines())) <= LARGEST[0] + 20
