"""Drill cards as a reader of the PDF finds them."""

from __future__ import annotations

import datetime as dt
import io
import re

import pytest
from pypdf import PdfReader

from planner.court.describe import describe
from planner.court.frame import Frame
from planner.desk.library import court_of, load_library
from planner.drills.card import Fault, Minutes
from planner.drills.library import Library
from planner.drills.pictures import frames_of
from planner.drills.vocabulary import Stage
from planner.paper.cards import CardPage, drill_cards
from planner.paper.files import MADE_BY
from planner.paper.sheet import Printed
from planner.problem import Refusal
from tests.drills.making import VOCABULARY, a_drill

DAY = dt.date(2027, 1, 14)
TITLES = {one.id: one.title for one in VOCABULARY.principles}
ROWS = (
    {
        "caption": "Ball on top",
        "players": {"1": "top", "x1": "on"},
        "ball": "1",
        "moves": ["1 dribbles to the nail"],
    },
    {"caption": "Stay in front", "moves": ["x1 slides to 1"]},
    {"caption": "Out again", "moves": ["1 dribbles to the top"]},
)


def frames(count: int) -> tuple[Frame, ...]:
    library = Library(VOCABULARY, (), diagram_rows={"d": ROWS[:count]})
    return frames_of(library, "d", court_of("college"))


def printed(*pages: CardPage, **more: object) -> Printed:
    return drill_cards(pages, TITLES, {"lob": "Over the top"}, DAY, **more)  # type: ignore[arg-type]


def reader(done: Printed) -> PdfReader:
    return PdfReader(io.BytesIO(done.data))


def text_of(done: Printed, page: int = 0) -> str:
    return re.sub(r"\s+", " ", reader(done).pages[page].extract_text().replace("\u200b", ""))


def figures(done: Printed) -> list[tuple[str, float]]:
    """Return alternative text and width in millimetres of each figure of the structure tree."""
    found: list[tuple[str, float]] = []

    def walk(node: object) -> None:
        item = node.get_object() if hasattr(node, "get_object") else node
        if isinstance(item, list):
            for one in item:
                walk(one)
        elif isinstance(item, dict):
            if "/Alt" in item:
                about = item["/A"].get_object()
                box = (about[0] if isinstance(about, list) else about)["/BBox"]
                found.append((str(item["/Alt"]), (float(box[2]) - float(box[0])) / 72 * 25.4))
            walk(item.get("/K", []))

    walk(reader(done).trailer["/Root"]["/StructTreeRoot"])
    return found


def test_a_card_says_what_the_drill_is() -> None:
    """Title, stages, sizes, shares, text, cues, faults, score, cautions, neighbours are printed."""
    text = text_of(
        printed(CardPage(a_drill("front", harder=("lob", "moon"), few_players="Three."), frames(2)))
    )
    for words in (
        "The front drill walk guided contested live",
        "4–10 players · half court · 5–12 min, usually 8 · effort 5 of 10",
        "Teaches Post defence 60 %, Communication 20 %",
        "Bring 2 balls, 4 cones",
        "1 Ball on top",
        "2 Stay in front",
        "Set-up Two at each block",
        "How it runs Three passes",
        "“Beat the feet” “High side first”",
        "Pinned behind “Step over the foot”",
        "No catch in the lane. Target: 6 denials out of 10.",
        "Mind Elbows down.",
        "Few players Three.",
        "Harder Over the top · moon",
        MADE_BY,
    ):
        assert words in text, (words, text)


def test_every_page_carries_the_key() -> None:
    """Notation differs between federations, so what the marks mean stands on each page."""
    done = printed(CardPage(a_drill("front"), frames(1)), CardPage(a_drill("bare")))
    for page in (0, 1):
        text = text_of(done, page)
        assert "defender, numbered like the player guarded" in text
        assert "screens, boxes out or traps" in text


def test_the_pdf_is_tagged_and_tells_the_pictures() -> None:
    """PDF/UA-1, a language, a title, headings, a table for what is seen; each picture has its own words."""
    done = printed(CardPage(a_drill("front"), frames(3)))
    root = reader(done).trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == "en"
    assert b"pdfuaid:part" in root["/Metadata"].get_object().get_data()
    assert reader(done).metadata.title == "Drill card: The front drill"
    assert sorted(alt for alt, _ in figures(done)) == sorted(describe(one) for one in frames(3))


def test_one_drill_a_page() -> None:
    """A pack has as many pages as drills, in the order asked, and says so in its title."""
    names = ("front", "lob", "rear")
    done = printed(*(CardPage(a_drill(name), frames(2)) for name in names), paper="a4")
    assert (done.pages, done.dropped) == (3, ())
    assert [f"The {name} drill" in text_of(done, n) for n, name in enumerate(names)] == [True] * 3
    assert reader(done).metadata.title == "3 drill cards"
    assert len(reader(done).outline) >= 3
    width, height = (float(one) for one in reader(done).pages[0].mediabox[2:])
    assert (round(width / 72 * 25.4), round(height / 72 * 25.4)) == (210, 297)


def test_the_same_drill_gives_the_same_bytes() -> None:
    """Printed twice, not a byte differs; another day is another document."""
    page = CardPage(a_drill("front"), frames(2))
    assert printed(page).data == printed(page).data
    assert (
        drill_cards([page], TITLES, {}, DAY).data != drill_cards([page], TITLES, {}, dt.date(2027, 2, 1)).data
    )


def test_diagrams_are_drawn_at_card_size() -> None:
    """A drawing is 88 mm wide on the page where the text leaves room for it."""
    for paper in ("letter", "a4"):
        widths = [wide for _, wide in figures(printed(CardPage(a_drill("front"), frames(2)), paper=paper))]
        assert widths == [pytest.approx(88.0, abs=0.1)] * 2


def test_a_crowded_card_gets_smaller_text_but_stays_one_page() -> None:
    """Three pictures and long text fit; nothing of it is lost."""
    long = a_drill(
        "front",
        Stage.LIVE,
        how=" ".join(f"Sentence number {n} tells what happens next." for n in range(40)) + " The end.",
        faults=tuple(Fault(f"Seen {n}, the far defender stays at home", "Come in now") for n in range(3)),
        cautions=("Elbows down, and watch the feet of the others.",) * 3,
        minutes=Minutes(5, 8, 12),
    )
    roomy, crowded = printed(CardPage(a_drill("front"), frames(2))), printed(CardPage(long, frames(3)))
    assert (crowded.pages, crowded.dropped) == (1, ())
    assert 8.0 <= crowded.size < roomy.size == 11.0
    assert "The end." in text_of(crowded)
    assert printed(CardPage(a_drill("front"), frames(2)), large=True).size == 14.0


def test_what_cannot_fit_runs_over_and_says_so() -> None:
    """Nothing is cut off: an endless text makes a second page, and the print says it."""
    endless = a_drill("front", how="And again from the left side. " * 160, set_up="Stand there. " * 200)
    done = printed(CardPage(endless, frames(3)))
    assert done.pages > 1
    assert done.dropped == ("The text of a card runs over onto another page.",)


@pytest.mark.parametrize(
    "title",
    [
        "",
        "#set page(fill: red)",
        "$ x $ \\ ] [ // /*",
        "ضغط على الكرة",
        "防守",
        "x" * 300,
        "\u202eevil\x1b[31m",
    ],
)
def test_any_title_can_be_printed(title: str) -> None:
    """Text is data to the template, whatever its script; hostile letters are gone."""
    done = printed(
        CardPage(a_drill("front", title=title, how=title or "Play.", cues=(title or "Go",)), frames(1))
    )
    assert done.pages == 1
    assert "\x1b" not in text_of(done)


def test_what_cannot_be_printed_is_refused() -> None:
    """No drill, too many drills and unknown paper are refused in a sentence."""
    with pytest.raises(Refusal, match="no drill to print"):
        printed()
    with pytest.raises(Refusal, match="151 cards are too many"):
        printed(*[CardPage(a_drill("front"))] * 151)
    with pytest.raises(Refusal, match="no paper 'napkin'"):
        printed(CardPage(a_drill("front")), paper="napkin")


@pytest.mark.slow
@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_every_shipped_drill_fits_its_page(paper: str) -> None:
    """The fullest drills of the library stay on one page at 8.5 points or more."""
    library = load_library()

    def length(name: str) -> int:
        one = library.by_id[name]
        return len(one.how) + len(one.set_up) + 400 * len(library.diagram_rows[name])

    fullest = sorted(library.by_id, key=length)[-25:]
    pages = [CardPage(library.by_id[one], frames_of(library, one, court_of("college"))) for one in fullest]
    done = printed(*pages, paper=paper)
    assert (done.pages, done.dropped, done.notes) == (len(pages), (), ())
    assert done.size >= 8.5
