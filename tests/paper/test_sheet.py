"""The court-side sheet as a reader of the PDF finds it."""

from __future__ import annotations

import dataclasses
import io
import re
from types import SimpleNamespace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from planner.build.plan import Plan, Segment, Station
from planner.clock import clock_text
from planner.paper import typesetter
from planner.paper.sheet import Printed, court_side_sheet
from planner.problem import Refusal


def reader(printed: Printed) -> PdfReader:
    return PdfReader(io.BytesIO(printed.data))


def text_of(printed: Printed) -> str:
    text = "\n".join(page.extract_text() for page in reader(printed).pages)
    return re.sub(r"\s+", " ", text.replace("\u200b", ""))


def fonts_of(printed: Printed) -> dict[str, bool]:
    """Font name -> whether its file lies in the PDF."""
    out: dict[str, bool] = {}
    for page in reader(printed).pages:
        for one in page["/Resources"]["/Font"].values():
            font = one.get_object()
            for inner in font.get("/DescendantFonts", [font]):
                descriptor = inner.get_object()["/FontDescriptor"].get_object()
                out[str(font["/BaseFont"])] = any(f"/FontFile{n}" in descriptor for n in ("", "2", "3"))
    return out


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_every_segment_stands_on_the_page_with_clock_minutes_and_title(
    sample: SimpleNamespace, paper: str
) -> None:
    """Clock, minutes and title of each segment and of each drill in it follow in the plan's order."""
    plan = sample.sized_plan(12)
    text = text_of(court_side_sheet(plan, sample.notes(), paper=paper))
    at = 0
    for one in plan.segments:
        titles = [sample.drills[station.drill].title for station in one.stations] or [one.title]
        start = text.find(f"{clock_text(one.start)} {one.minutes} {titles[0]}", at)
        assert start >= 0, (clock_text(one.start), one.title)
        assert all(text.find(title, start) >= 0 for title in titles)
        at = start + 1


def test_a_row_says_who_what_to_say_the_target_and_why(sample: SimpleNamespace) -> None:
    """Groups by jersey and half, cues in quotes, the target in numbers, rule and reason are printed."""
    text = text_of(court_side_sheet(sample.sized_plan(9), sample.notes()))
    assert "Half A" in text
    assert re.search(r"Blue 00 7 15 24 30", text)
    assert "“High hand, low hips”" in text
    assert "Target: 7 stops of 10. A stop is a contested shot" in text
    assert "Why: Closeouts cost us 4.1 points per 100" in text
    assert "All 10" in text


def test_the_head_says_whose_practice_when_what_costs_most_and_what_to_bring(sample: SimpleNamespace) -> None:
    """Team, date in words, first and last minute, needs, next game, equipment and jerseys head the page."""
    plan = sample.sized_plan(12)
    text = text_of(court_side_sheet(plan, sample.notes()))
    assert "Fernhill Under-16 girls" in text
    assert "Thursday 3 December 2026" in text
    assert f"18:10–{clock_text(18 * 60 + 10 + plan.minutes)}, {plan.minutes} minutes" in text
    assert "Next: Fri 4 Dec v Harbour Point, home" in text
    assert "What costs us most 1 Closeouts: 4.1 points" in text
    assert re.search(r"Present 00 0 4 7 12 15", text)
    # Two groups closing out at once need 2 x 4 balls; later drills need fewer, so eight is what to bring.
    assert "Bring 8 cones, 8 balls, 4 pads, pinnies" in text


def test_the_foot_defers_to_licensed_people_and_local_rules(sample: SimpleNamespace) -> None:
    """A knock to the head ends the practice for that player; the plan's own cautions follow."""
    text = text_of(court_side_sheet(sample.sized_plan(6), sample.notes()))
    assert (
        "off the floor at once, back only when cleared by a licensed professional under local rules" in text
    )
    assert "contact below the shoulders only" in text
    assert text.rstrip().endswith("made by stopsheet")


@pytest.mark.parametrize("count", [4, 5, 6, 8, 10, 12, 15, 18, 22, 26, 30])
@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_up_to_thirty_segments_take_one_page(sample: SimpleNamespace, count: int, paper: str) -> None:
    """Four to thirty segments are one page, with and without drawings, and every clock time is on it."""
    plan = sample.sized_plan(count)
    for notes in (sample.notes(), sample.notes(sample.every_drill)):
        printed = court_side_sheet(plan, notes, paper=paper)
        assert printed.pages == len(reader(printed).pages) == 1
        text = text_of(printed)
        assert all(clock_text(one.start) in text for one in plan.segments)


@pytest.mark.parametrize("large", [False, True])
def test_thirty_pairs_of_drills_take_one_page(sample: SimpleNamespace, large: bool) -> None:
    """The heaviest plan there is still fits one page, and the sheet says what that cost."""
    printed = court_side_sheet(sample.heavy_plan(30), sample.notes(sample.every_drill), large=large)
    assert len(reader(printed).pages) == 1
    assert any("the reason" in one for one in printed.dropped)
    assert any("points" in one for one in printed.dropped)


def test_an_ordinary_evening_drops_nothing_and_reads_at_arms_length(sample: SimpleNamespace) -> None:
    """Twelve segments keep every line at 9.6 points or more, the floor for reading at 60 cm."""
    for paper in ("letter", "a4"):
        printed = court_side_sheet(sample.sized_plan(12), sample.notes(), paper=paper)
        assert printed.dropped == ()
        assert printed.size >= 9.6


def test_large_print_is_large_and_says_what_it_gave_up(sample: SimpleNamespace) -> None:
    """Large print keeps 14 points for an ordinary evening and names the lines that had no room."""
    printed = court_side_sheet(sample.sized_plan(12), sample.notes(), large=True)
    assert printed.size >= 14
    assert any(one.startswith("No room for the reason at 18:18") for one in printed.dropped)
    assert "Why: Closeouts cost us" not in text_of(printed)


def test_what_is_said_to_be_dropped_is_what_is_missing(sample: SimpleNamespace) -> None:
    """A reason is on the page unless the report names its clock time."""
    plan = sample.sized_plan(14)
    printed = court_side_sheet(plan, sample.notes(sample.every_drill))
    text = text_of(printed)
    said = " ".join(one for one in printed.dropped if "the reason" in one)
    reasons = [one for one in plan.segments if one.why]
    kept = sum(text.count(f"Why: {reason}") for reason in {one.why for one in reasons})
    named = sum(clock_text(one.start) in said for one in reasons)
    assert named >= 1
    assert kept == len(reasons) - named


def test_more_than_thirty_segments_may_turn_the_page(sample: SimpleNamespace) -> None:
    """Sixty segments run over several pages, the column heads stand on each, and the report says so."""
    printed = court_side_sheet(sample.sized_plan(60), sample.notes())
    pages = reader(printed).pages
    assert printed.pages == len(pages) > 1
    assert f"The plan runs over {len(pages)} pages." in printed.dropped
    assert all("What, who, what to say" in page.extract_text() for page in pages)


def test_reasons_are_printed_only_when_asked_for(sample: SimpleNamespace) -> None:
    """``why=False`` leaves the reasons out without calling them dropped."""
    printed = court_side_sheet(sample.sized_plan(8), sample.notes(), why=False)
    assert "Why:" not in text_of(printed)
    assert printed.dropped == ()


def test_the_same_plan_gives_the_same_bytes(sample: SimpleNamespace) -> None:
    """Two prints are equal to the byte, and another date's print is not."""
    plan, notes = sample.sized_plan(12), sample.notes(sample.every_drill)
    first, second = court_side_sheet(plan, notes), court_side_sheet(plan, notes)
    assert first.data == second.data
    later = dataclasses.replace(plan, date=plan.date.replace(day=10))
    assert court_side_sheet(later, notes).data != first.data


def test_the_pdf_is_tagged_titled_and_carries_its_own_typeface(sample: SimpleNamespace) -> None:
    """ISO 14289-1 (PDF/UA-1): structure tree, marked, language, title shown; every font file is embedded."""
    printed = court_side_sheet(sample.sized_plan(12), sample.notes())
    pdf = reader(printed)
    root = pdf.trailer["/Root"]
    assert "/StructTreeRoot" in root
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == "en"
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert pdf.metadata.title == "Fernhill Under-16 girls: practice plan, Thursday 3 December 2026"
    assert "<pdfuaid:part>1</pdfuaid:part>" in printed.data.decode("latin-1")
    fonts = fonts_of(printed)
    assert fonts
    assert all(fonts.values())
    assert all("SourceSans3" in name for name in fonts)
    assert printed.notes == ()


def test_a_drawing_has_its_words(sample: SimpleNamespace) -> None:
    """The structure tree gives each drawing as a figure with its description."""
    printed = court_side_sheet(sample.sized_plan(4), sample.notes(("long-short-closeout",)))
    found: list[str] = []

    def walk(node: object) -> None:
        node = node.get_object() if hasattr(node, "get_object") else node
        if isinstance(node, list):
            for one in node:
                walk(one)
        elif isinstance(node, dict):
            if "/Alt" in node:
                found.append(str(node["/Alt"]))
            walk(node.get("/K", []))

    walk(reader(printed).trailer["/Root"]["/StructTreeRoot"]["/K"])
    assert "Two wings, the ball passed over the top." in found


@pytest.mark.parametrize(
    "svg", ["<svg", "no drawing at all", '<svg xmlns="http://www.w3.org/2000/svg"><path d="M0']
)
def test_a_broken_drawing_costs_only_itself(sample: SimpleNamespace, svg: str) -> None:
    """A drawing that cannot be read is left out and reported; the page is printed."""
    notes = dataclasses.replace(sample.notes(), diagrams={"long-short-closeout": svg})
    printed = court_side_sheet(sample.sized_plan(6), notes)
    assert printed.pages == 1
    assert "The diagrams could not be drawn." in printed.dropped


HOSTILE = (
    '#panic("no")',
    "#set page(width: 1mm) // $x^2$ *b* _i_ `r` @ref <lab> \\ \u0007",
    '"]) #[',
    "a" * 300,
    "\u202eevil\u202c \u2066x\u2069",
    "\ud800 lone",
    "e" + "\u0301" * 200,
    "שלום (7)",
    "مرحبا بالعالم",
    "練習計画",
    "🏀🏀",
    "\x1b[31mred\x1b[0m",
    "",
    "\u00ad\u2060\ufff9",
    "👩‍👩‍👧‍👦" * 40,
)


def _hostile_plan(sample: SimpleNamespace, said: str) -> tuple[Plan, object]:
    card = dataclasses.replace(
        sample.drills["corner-tag"],
        title=said,
        cues=(said, said, said),
        equipment=(said,),
        scoring=dataclasses.replace(sample.drills["corner-tag"].scoring, rule=said, counts=said),
    )
    segment = Segment(0, 10, "drill", said, (Station("x", said, (said, "7"), said),), {said: 20}, said, 5)
    other = Segment(0, 10, "drill", said, (Station("gone", "", (), "A"), Station("x", "", (), "B")), {}, said)
    notes = dataclasses.replace(
        sample.notes(),
        team=said,
        practice=said,
        next_game=said,
        needs=(said, said),
        present=(said, "4"),
        cautions=(said,),
        drills={"x": card},
        principles={said: said},
        lang=said,
    )
    return sample.plan_of([segment, other, Segment(0, 2, "water", said)]), notes


@pytest.mark.parametrize("said", HOSTILE, ids=[ascii(one)[:20] for one in HOSTILE])
def test_no_text_stops_the_print(sample: SimpleNamespace, said: str) -> None:
    """Markup, controls, direction marks, endless words, foreign scripts print or are cleaned away."""
    plan, notes = _hostile_plan(sample, said)
    printed = court_side_sheet(plan, notes)
    assert len(reader(printed).pages) == 1
    text = text_of(printed)
    assert all(clock_text(one.start) in text for one in plan.segments)
    # A letter without a glyph comes back as NUL; the typesetter marks its own runs with U+202A to U+202C.
    assert not re.search("[\u202d\u202e\u2066-\u2069\x01-\x08\x1b]", text)
    assert "\x00" not in text or printed.notes


def test_markup_is_printed_as_written(sample: SimpleNamespace) -> None:
    """What looks like the typesetter's language comes out letter by letter."""
    plan, notes = _hostile_plan(sample, "#strong[*x*] $y$")
    assert "#strong[*x*] $y$" in text_of(court_side_sheet(plan, notes))


def test_an_endless_word_stays_on_the_paper(sample: SimpleNamespace) -> None:
    """A word of 300 letters is broken, so that no run of it ends beyond the edge of the paper.

    A capital W of the bundled typeface is more than 0.75 em wide (measured from a printed line: 0.785).
    """
    plan, notes = _hostile_plan(sample, "W" * 300)
    ends: list[float] = []

    def visit(text: str, cm: list[float], tm: list[float], _font: object, size: float) -> None:
        run = max(re.findall("W+", text.replace("\u200b", "")), key=len, default="")
        if run:
            ends.append(cm[4] + cm[0] * tm[4] + 0.75 * size * abs(cm[0] * tm[0]) * len(run))

    reader(court_side_sheet(plan, notes)).pages[0].extract_text(visitor_text=visit)
    assert len(ends) > 10
    assert max(ends) <= 612


@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.text(min_size=1, max_size=60), st.integers(1, 12))
def test_any_text_prints_on_one_page(sample: SimpleNamespace, said: str, count: int) -> None:
    """Whatever the letters, the sheet is one page and names the first minute."""
    plan, notes = _hostile_plan(sample, said)
    plan = sample.plan_of([plan.segments[n % 3] for n in range(count)])
    printed = court_side_sheet(plan, notes)
    assert printed.pages == 1
    assert "18:10" in text_of(printed)


def test_a_letter_outside_the_typeface_is_admitted(sample: SimpleNamespace) -> None:
    """A glyph that the bundled typeface lacks is taken from elsewhere or boxed, and the print says so."""
    notes = dataclasses.replace(sample.notes(), team="練習 U16")
    printed = court_side_sheet(sample.sized_plan(4), notes)
    assert len(printed.notes) == 1
    assert "typeface" in printed.notes[0]


def test_an_empty_plan_and_an_unknown_paper_are_refused(sample: SimpleNamespace) -> None:
    """Nothing to print and no such paper are one sentence each."""
    with pytest.raises(Refusal, match="nothing to print"):
        court_side_sheet(sample.plan_of([]), sample.notes())
    with pytest.raises(Refusal, match="use letter or a4"):
        court_side_sheet(sample.sized_plan(4), sample.notes(), paper="legal")  # type: ignore[arg-type]


def test_a_failure_of_the_typesetter_is_one_sentence(
    sample: SimpleNamespace, monkeypatch: pytest.MonkeyPatch, tmp_path: object
) -> None:
    """A template that is not there is refused without a traceback."""
    monkeypatch.setattr(typesetter, "TEMPLATES", tmp_path)
    with pytest.raises(Refusal, match="could not be set"):
        court_side_sheet(sample.sized_plan(4), sample.notes())
