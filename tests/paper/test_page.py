"""The court-side page as bytes: what is in it, what cannot be in it, and whether its colours can be read."""

from __future__ import annotations

import base64
import dataclasses
import hashlib
import html
import json
import re
from html.parser import HTMLParser
from pathlib import Path
from types import SimpleNamespace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.build.plan import Plan, Segment, Station
from planner.paper import page as page_module
from planner.paper.drawing import inline_drawing
from planner.paper.files import made_here
from planner.paper.page import RATING_WORDS, Picture, court_side_page
from planner.paper.phone import plan_digest
from planner.problem import Refusal

HOSTILE = "</script><script>alert(1)</script><img src=x onerror=alert(2)>\u202e\"'{{js}}&amp;"
TAGS = {
    "html", "head", "meta", "title", "link", "style", "body", "header", "nav", "main", "section", "div", "p",
    "span", "b", "h1", "h2", "h3", "ul", "ol", "li", "dl", "dt", "dd", "button", "details", "summary",
    "label", "input", "textarea", "fieldset", "legend", "code", "script", "figure", "figcaption", "svg",
    "path", "circle", "rect",
}  # fmt: skip
TEMPLATES = Path(page_module.__file__).parent / "templates"


class Parsed(HTMLParser):
    """What a browser would make of the page: its elements, and the text inside each script and style."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.raw: list[tuple[str, dict[str, str | None], str]] = []
        self.words = ""
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note an element."""
        self.elements.append((tag, dict(attrs)))
        if tag in {"script", "style"}:
            self.raw.append((tag, dict(attrs), ""))

    def handle_data(self, data: str) -> None:
        """Note text, a script's or style's apart."""
        if self.elements and self.raw and self.cdata_elem:
            tag, attrs, text = self.raw[-1]
            self.raw[-1] = (tag, attrs, text + data)
        else:
            self.words += data


def _page(sample: SimpleNamespace, plan: Plan | None = None) -> str:
    return court_side_page(plan or sample.sized_plan(12), sample.notes(sample.every_drill)).decode()


def _hostile(sample: SimpleNamespace) -> str:
    plan = sample.sized_plan(12)
    bad = Segment(plan.start, 10, "drill", HOSTILE, (Station(HOSTILE, HOSTILE, (HOSTILE, "7"), HOSTILE),))
    card = dataclasses.replace(
        sample.drills["corner-tag"], id=HOSTILE, title=HOSTILE, cues=(HOSTILE,), set_up=HOSTILE, how=HOSTILE,
        cautions=(HOSTILE,), equipment=(HOSTILE,),
    )  # fmt: skip
    notes = dataclasses.replace(
        sample.notes(), team=HOSTILE, practice=HOSTILE, next_game=HOSTILE, lang='"><script>',
        drills={HOSTILE: card}, needs=(HOSTILE,), cautions=(HOSTILE,),
    )  # fmt: skip
    drawn = {
        HOSTILE: [Picture(sample.diagram.replace("<path", "<script>x()</script><path"), HOSTILE, HOSTILE)]
    }
    return court_side_page(dataclasses.replace(plan, segments=(bad,)), notes, drawn).decode()


def test_same_bytes(sample: SimpleNamespace) -> None:
    """The same plan gives the same bytes, another plan gives others."""
    assert _page(sample) == _page(sample)
    assert _page(sample) != _page(sample, sample.sized_plan(11))


def test_known_again(sample: SimpleNamespace, tmp_path: Path) -> None:
    """The program knows its own page by the mark, so that it may be printed anew over itself."""
    place = tmp_path / "practice.html"
    place.write_text(_page(sample), "utf-8")
    assert made_here(place)


def test_policy_names_exactly_what_is_there(sample: SimpleNamespace) -> None:
    """The policy allows one script and one style by their hashes, data images, and nothing else at all."""
    parsed = Parsed(_page(sample))
    metas = [one for tag, one in parsed.elements if tag == "meta" and one.get("http-equiv")]
    assert [one["http-equiv"] for one in metas] == ["Content-Security-Policy"]
    said = dict(one.strip().split(" ", 1) for one in str(metas[0]["content"]).split(";"))
    run = [text for tag, attrs, text in parsed.raw if tag == "script" and "type" not in attrs]
    styles = [text for tag, _, text in parsed.raw if tag == "style"]
    assert (len(run), len(styles)) == (1, 1)
    assert said == {
        "default-src": "'none'",
        "script-src": _sha(run[0]),
        "style-src": _sha(styles[0]),
        "img-src": "data:",
        "base-uri": "'none'",
        "form-action": "'none'",
        "require-trusted-types-for": "'script'",
        "trusted-types": "'none'",
    }


def _sha(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def test_asks_for_nothing(sample: SimpleNamespace) -> None:
    """No element, style or script of the page names an address outside of it."""
    text = _page(sample)
    assert not re.search(r"https?:|//[a-z]|@import|url\(|fetch\(|XMLHttpRequest|sendBeacon|WebSocket", text)
    for tag, attrs in Parsed(text).elements:
        found = {key: attrs[key] for key in ("src", "href", "action", "srcset", "data") if key in attrs}
        assert found in ({}, {"href": "data:,"}), (tag, found)


def test_scripts_write_text_only() -> None:
    """The script never turns text into markup or code."""
    for name in page_module._SCRIPTS:
        script = (TEMPLATES / name).read_text("utf-8")
        assert not re.search(
            r"innerHTML|outerHTML|insertAdjacent|document\.write|\beval\b|Function\(", script
        )
        assert "</" not in script


@pytest.mark.parametrize("which", [_page, _hostile])
def test_no_text_acts(sample: SimpleNamespace, which: object) -> None:
    """Only the page's own elements exist, none with a handler or a style of its own, hostile names or not."""
    text = which(sample)  # type: ignore[operator]
    parsed = Parsed(text)
    assert {tag for tag, _ in parsed.elements} <= TAGS
    assert [tag for tag, _ in parsed.elements].count("script") == 2
    for _, attrs in parsed.elements:
        assert not [key for key in attrs if key.startswith("on") or key == "style"]
    assert "\u202e" not in text


def test_hostile_names_are_shown(sample: SimpleNamespace) -> None:
    """A hostile name stands on the page as the text it is, and in the script's data as well."""
    parsed = Parsed(_hostile(sample))
    kept = HOSTILE.replace("\u202e", "")
    assert kept[:90] in parsed.words
    data = next(text for tag, attrs, text in parsed.raw if attrs.get("type") == "application/json")
    assert "<" not in data
    assert "&" not in data
    assert json.loads(data)["segments"][0]["title"].startswith("</script><script>alert(1)")
    assert 'lang="en"' in _hostile(sample)[:200]


@given(st.text(max_size=80))
def test_any_title_stays_text(sample: SimpleNamespace, title: str) -> None:
    """Whatever a title is, the elements of the page are those of a page with a plain title."""

    def elements(name: str) -> list[str]:
        plan = sample.plan_of([Segment(0, 5, "fixed", name)])
        return [tag for tag, _ in Parsed(_page(sample, plan)).elements]

    assert elements(title) == elements("Free throws")


def test_reads_without_script(sample: SimpleNamespace) -> None:
    """Where scripts do not run (a mail's preview), every clock time, title and cue still stands there."""
    plan = sample.sized_plan(12)
    text = _page(sample, plan)
    rows = re.findall(r"<li><(?:details|div).*?</li>\n", text, re.DOTALL)
    assert len(rows) == len(plan.segments)
    for one, row in zip(plan.segments, rows, strict=True):
        assert f"{one.start // 60:02d}:{one.start % 60:02d}" in row
        assert html.escape(one.title) in row
        for station in one.stations:
            assert all(html.escape(cue) in row for cue in sample.drills[station.drill].cues)
    assert "<details>" not in text


def test_why_can_be_left_off(sample: SimpleNamespace) -> None:
    """The reasons are on the page unless the coach wants the players to read it without."""
    plan = sample.sized_plan(12)
    assert "<dt>Why</dt>" in _page(sample, plan)
    assert "<dt>Why</dt>" not in court_side_page(plan, sample.notes(), why=False).decode()


def test_nothing_to_print(sample: SimpleNamespace) -> None:
    """A plan without segments is refused."""
    with pytest.raises(Refusal, match="no segments"):
        court_side_page(dataclasses.replace(sample.sized_plan(2), segments=()), sample.notes())


def test_one_counter_per_group_of_the_first_drill(sample: SimpleNamespace) -> None:
    """Two groups at one drill get a counter each, a second drill beside it none: a log has one score."""
    parsed = Parsed(_page(sample))
    data = next(text for tag, attrs, text in parsed.raw if attrs.get("type") == "application/json")
    groups = {one["title"]: one["groups"] for one in json.loads(data)["segments"]}
    assert groups["Long run, short steps"] == ["Red", "Blue"]
    assert groups["Bump and sprint to the corner / Find, hit, hold, go"] == [""]
    assert groups["Four-man shell, drive from the slot"] == [""]
    assert groups["Water"] == groups["Feet and voice"] == groups["Free throws in pairs"] == []


def test_digest_is_of_what_runs(sample: SimpleNamespace) -> None:
    """Another day, clock, length, title or player makes another plan, another reason does not."""
    plan = sample.sized_plan(12)
    first, *others = plan.segments
    station = first.stations[0]
    changes = [
        dataclasses.replace(plan, start=plan.start + 1),
        dataclasses.replace(plan, date=plan.date.replace(year=2027)),
        dataclasses.replace(plan, segments=tuple(others)),
        *(
            dataclasses.replace(plan, segments=(changed, *others))
            for changed in (
                dataclasses.replace(first, minutes=first.minutes + 1),
                dataclasses.replace(first, title="Other"),
                dataclasses.replace(first, stations=(dataclasses.replace(station, players=("9",)),)),
            )
        ),
    ]
    assert len({plan_digest(one) for one in [plan, *changes]}) == len(changes) + 1
    why = dataclasses.replace(plan, seconds=9.0, segments=(dataclasses.replace(first, why="Other"), *others))
    assert plan_digest(why) == plan_digest(plan)


def test_rating_words() -> None:
    """The ratings are called as in Foster et al., J Strength Cond Res 15(1):109-115, 2001."""
    assert RATING_WORDS == {
        0: "Rest", 1: "Very, very easy", 2: "Easy", 3: "Moderate", 4: "Somewhat hard", 5: "Hard",
        7: "Very hard", 10: "Maximal",
    }  # fmt: skip


# Drawings


def test_drawing_keeps_shapes(sample: SimpleNamespace) -> None:
    """A diagram's shapes pass as they are, under the words for those who cannot see it."""
    drawn = inline_drawing(sample.diagram, "Two wings")
    assert drawn.startswith(
        '<svg viewBox="0 0 50 42" role="img" aria-label="Two wings"><path d="M0.2 0.2H49.8'
    )
    assert drawn.count("<path") == 2
    assert drawn.count("<circle") == 3


@pytest.mark.parametrize(
    "svg",
    [
        '<svg viewBox="0 0 1 1"><path d="M0 0" onload="x()" style="a:b" href="y"/></svg>',
        '<svg viewBox="0 0 1 1"><script>x()</script><path d="M0 0"/><foreignObject/></svg>',
        '<svg viewBox="0 0 1 1" onload="x()"><path d="M0 0" fill="url(#a)"/><image href="y"/></svg>',
    ],
)
def test_drawing_drops_the_rest(svg: str) -> None:
    """Handlers, links, styles, scripts and foreign elements do not pass."""
    assert inline_drawing(svg, "") == '<svg viewBox="0 0 1 1" role="img" aria-label=""><path d="M0 0"/></svg>'


@given(st.text("<>/=\"' abcdfhnoprstvwx0123456789:()#&;", max_size=200), st.text(max_size=40))
def test_any_drawing_is_harmless(inside: str, words: str) -> None:
    """Whatever stands in a drawing, only shapes with plain attributes come out."""
    parsed = Parsed(inline_drawing(f'<svg viewBox="0 0 9 9"><circle r="1"/>{inside}</svg>', words))
    assert {tag for tag, _ in parsed.elements} <= {"svg", "path", "circle", "rect"}
    keys = {key for tag, attrs in parsed.elements if tag != "svg" for key in attrs}
    assert keys <= {"d", "cx", "cy", "r", "x", "y", "width", "height", "fill", "stroke", "stroke-width",
                    "stroke-linecap", "stroke-linejoin"}  # fmt: skip


# Colours


def luminance(colour: str) -> float:
    """Return the relative luminance of ``#rrggbb`` as WCAG 2.2 defines it."""
    parts = [int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)]
    linear = [one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, two: str) -> float:
    """Return the contrast ratio of two colours as WCAG 2.2 defines it."""
    light, dark = sorted((luminance(one), luminance(two)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize(
    ("colour", "ratio"),
    [
        ("#000000", 21.0), ("#767676", 4.5422), ("#777777", 4.4781), ("#595959", 7.0047),
        ("#949494", 3.0335), ("#ff0000", 3.9985), ("#0000ff", 8.5925), ("#ffff00", 1.0738),
    ],
)  # fmt: skip
def test_contrast_formula(colour: str, ratio: float) -> None:
    """Contrast on white is what WCAG's formula gives (values computed; 21:1 for black is in its text)."""
    assert contrast(colour, "#ffffff") == pytest.approx(ratio, abs=5e-5)


def _schemes() -> dict[str, dict[str, str]]:
    style = (TEMPLATES / "page.css").read_text("utf-8")
    light, dark = re.findall(r":root \{\n(.*?)\n\s*\}", style, re.DOTALL)[:2]
    return {
        name: dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6});", text))
        for name, text in (("light", light), ("dark", dark))
    }


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize(
    ("ink", "ground"),
    [
        ("ink", "ground"), ("ink", "card"), ("soft", "ground"), ("soft", "card"), ("on-main", "main"),
        ("on-alarm", "alarm"), ("on-still", "still"),
    ],
)  # fmt: skip
def test_text_can_be_read(scheme: str, ink: str, ground: str) -> None:
    """All text has 4.5:1 (https://w3.org/WAI/WCAG22/Understanding/contrast-minimum.html), light and dark."""
    colours = _schemes()[scheme]
    assert contrast(colours[ink], colours[ground]) >= 4.5


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("ground", ["ground", "card"])
@pytest.mark.parametrize("line", ["edge", "main", "ink"])
def test_edges_can_be_seen(scheme: str, ground: str, line: str) -> None:
    """The edges of controls have 3:1 (WCAG 2.2, 1.4.11, from memory), light and dark."""
    colours = _schemes()[scheme]
    assert contrast(colours[line], colours[ground]) >= 3


def test_every_colour_is_named() -> None:
    """The style knows no colour besides the named ones, so that the pairs above are all there are."""
    style = (TEMPLATES / "page.css").read_text("utf-8")
    rest = re.sub(r":root \{\n.*?\n\s*\}", "", style, count=2, flags=re.DOTALL)
    assert set(re.findall(r"#[0-9a-fA-F]{3,8}\b", rest)) == {"#fff", "#000"}
    assert not re.search(r"\b(rgb|hsl|oklch|color-mix|opacity)\b", rest)
    grounds = set(re.findall(r"background: var\(--([a-z-]+)\); color: var\(--([a-z-]+)\)", rest))
    assert grounds == {("ground", "ink"), ("main", "on-main"), ("alarm", "on-alarm"), ("still", "on-still")}


def test_nothing_moves() -> None:
    """The page has no animation or transition, for those whom movement makes ill."""
    style = (TEMPLATES / "page.css").read_text("utf-8")
    assert not re.search(r"animation|transition|@keyframes|scroll-behavior", style)
