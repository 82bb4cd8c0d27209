"""The court-side sheet as a picture, and the structure of its PDF as another reader finds it."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from planner.paper import sheet as sheet_module
from planner.paper.files import made_here
from planner.paper.sheet import court_side_sheet
from planner.problem import Refusal
from tests.pdf import assert_accessible, assert_looks_like, pictures_of, pixels


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_the_sheet_is_accessible(sample: SimpleNamespace, paper: str) -> None:
    """Tagged, titled, headings in order, one table with heads, every diagram with words."""
    found = assert_accessible(
        court_side_sheet(sample.sized_plan(8), sample.notes(sample.every_drill), paper=paper).data  # type: ignore[arg-type]
    )
    roles = [one.role for one in found]
    assert roles.count("/Table") == 1
    said = next(one.alt for one in found if one.role == "/Figure")
    assert said == "Two wings, the ball passed over the top."


def test_a_picture_is_a_png_of_the_page_with_our_mark(sample: SimpleNamespace, tmp_path) -> None:  # type: ignore[no-untyped-def]
    """At 50 pixels an inch a letter page is 425 by 550, the same twice, and known again as our own file."""
    plan = sample.sized_plan(8)
    data = court_side_sheet(plan, sample.notes(), ppi=50).data
    assert pixels(data)[:2] == (425, 550)
    assert data == court_side_sheet(plan, sample.notes(), ppi=50).data
    path = tmp_path / "p.png"
    path.write_bytes(data)
    assert made_here(path)


def test_a_picture_holds_one_page(sample: SimpleNamespace) -> None:
    """A plan of two pages is printed to PDF, not cut."""
    with pytest.raises(Refusal, match=r"takes \d pages, and a .png holds one"):
        court_side_sheet(sample.heavy_plan(45), sample.notes(), ppi=50)


def test_the_sheet_looks_as_it_was_looked_at(
    sample: SimpleNamespace, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The page matches the picture kept, within what smoothing of edges may differ."""
    notes = sample.notes(sample.every_drill)
    (page,) = pictures_of(monkeypatch, sheet_module, lambda: court_side_sheet(sample.sized_plan(8), notes))
    assert_looks_like("sheet", page)
