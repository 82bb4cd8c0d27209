"""The court-side page as a phone runs it, in a real browser with the clocks in our hands."""

from __future__ import annotations

import dataclasses
import datetime as dt
import json
from collections.abc import Callable
from pathlib import Path

import pytest

from planner.paper.phone import PhoneSegment, check_plan, read_phone_log
from tests.browser.chromium import Browser, Phone
from tests.browser.kit import PLAN, renamed, write_page
from tests.running import Stopsheet

At = Callable[..., int]
SMALLEST = 44
"""CSS pixels of a touch target (WCAG 2.2, 2.5.5, from memory); the page aims at 48."""


def _open(phone: Phone, page: Path, date: int) -> None:
    phone.clock(date, 1_000)
    phone.open(page)
    phone.settle()


def _log(phone: Phone) -> dict[str, object]:
    phone.tap("[data-go=finish]")
    phone.tap("#copy")
    phone.settle()
    found: dict[str, object] = json.loads(phone.js("document.getElementById('text').value"))
    return found


def _seconds(phone: Phone) -> list[int]:
    return [one["seconds"] for one in _log(phone)["segments"]]  # type: ignore[attr-defined]


# Opening


def test_asks_nobody_and_breaks_no_rule(phone: Phone, page: Path, at: At) -> None:
    """Opened from a file, used in every view, it asks for no address and the console stays empty."""
    _open(phone, page, at("18:16"))
    for where in ("list", "finish", "now"):
        phone.tap(f"[data-go={where}]")
        phone.settle()
    phone.tap(".counter button")
    _log(phone)
    assert phone.requests() == [page.as_uri()]
    assert phone.js("performance.getEntriesByType('resource').length") == 0
    assert phone.complaints() == []


def test_the_policy_bites(phone: Phone, page: Path, tmp_path: Path, at: At) -> None:
    """A script or picture smuggled into the file afterwards does not run, and the console says so."""
    smuggled = "<script>document.title = 'taken'</script><img src='https://example.invalid/x.png'>"
    place = tmp_path / "changed.html"
    place.write_text(page.read_text("utf-8").replace("<main>", f"<main>{smuggled}"), "utf-8")
    _open(phone, place, at("18:16"))
    assert phone.js("document.title") != "taken"
    assert any("Content Security Policy" in one for one in phone.complaints())
    asked = {one["requestId"]: one["request"]["url"] for one in phone.heard("Network.requestWillBeSent")}
    stopped = {
        one["requestId"] for one in phone.heard("Network.loadingFailed") if one["blockedReason"] == "csp"
    }
    assert [url for one, url in asked.items() if one not in stopped] == [place.as_uri()]


@pytest.mark.parametrize(
    ("clock", "title", "left", "label"),
    [
        ("17:10", "Starts at 18:10", "1:00:00", "until practice"),
        ("18:09:59", "Starts at 18:10", "0:01", "until practice"),
        ("18:10", "Feet and voice", "5:00", "left"),
        ("18:15", "Bump and sprint", "10:00", "left"),
        ("18:24:30", "Bump and sprint", "0:30", "last half minute"),
        ("18:25:00", "Water", "2:00", "left"),
        ("18:40", "Free throws", "5:00", "left"),
        ("18:45", "Practice is over", "Done", "Note how hard it was, then save the log."),
    ],
)
def test_follows_the_clock(
    phone: Phone, page: Path, at: At, clock: str, title: str, left: str, label: str
) -> None:
    """Opened at any moment it shows what is on by the wall clock, and how long still."""
    _open(phone, page, at(clock))
    assert phone.text("#title") == title
    assert phone.text("#left") == left
    assert phone.text("#left-label") == label
    assert phone.text("#clock") == clock[:5]


@pytest.mark.parametrize(
    ("hours", "left"), [(47, "in 2 days"), (30, "tomorrow"), (25, "tomorrow"), (72, "in 3 days")]
)
def test_counts_days_as_people_do(phone: Phone, page: Path, at: At, hours: int, left: str) -> None:
    """More than a day ahead it counts nights, not stretches of 24 hours (18:10 less 47 h is two nights)."""
    _open(phone, page, at("18:10") - hours * 3_600_000)
    assert phone.text("#left") == left


def test_a_minute_to_a_minute(phone: Phone, page: Path, at: At) -> None:
    """While it lies open the time runs down, and the next segment comes on by itself, said aloud once."""
    _open(phone, page, at("18:14"))
    assert phone.text("#said") == ""
    phone.later(59)
    assert (phone.text("#title"), phone.text("#left")) == ("Feet and voice", "0:01")
    phone.later(1)
    assert (phone.text("#title"), phone.text("#left")) == ("Bump and sprint", "10:00")
    assert phone.text("#said") == "Now: Bump and sprint, 10 minutes, until 18:25."
    assert phone.text("#next") == "Next at 18:25: Water, 2 minutes"


def test_water_shows_what_comes(phone: Phone, page: Path, at: At) -> None:
    """In a break the coach sees the cues and picture of the drill to come, without counters."""
    _open(phone, page, at("18:26"))
    assert phone.text("#coming") == "Coming up: Four-man shell"
    assert "Bump for one beat" in phone.text("#cues")
    assert phone.js("document.querySelectorAll('#rest svg').length") == 1
    assert phone.js("document.querySelectorAll('.counter').length") == 0


# Counting and steering


def test_counts_and_undo(phone: Phone, page: Path, at: At) -> None:
    """Each group counts for itself, Undo takes back one tap at a time, and the log holds the sum."""
    _open(phone, page, at("18:16"))
    for button in (1, 1, 2):
        phone.tap(f".counter:nth-child(1) .pair button:nth-child({button})")
    phone.tap(".counter:nth-child(2) .pair button:nth-child(1)")
    assert [phone.text(f".counter:nth-child({n}) .score") for n in (1, 2)] == ["2 of 3", "1 of 1"]
    assert phone.text("#said") == "Blue: 1 of 1 good tags."
    phone.tap("#undo")
    assert phone.text("#said") == "Taken back: +1, Blue."
    phone.tap("#undo")
    assert [phone.text(f".counter:nth-child({n}) .score") for n in (1, 2)] == ["2 of 2", "0 of 0"]
    assert _log(phone)["segments"][1] == {"seconds": 60, "stops": 2, "tries": 2}  # type: ignore[index]


def test_next_pulls_the_rest_forward(phone: Phone, page: Path, at: At) -> None:
    """Next ends a segment early; what was run is logged to the second and the end comes earlier."""
    _open(phone, page, at("18:18"))
    phone.tap("#skip")
    assert (phone.text("#title"), phone.text("#left")) == ("Water", "2:00")
    assert phone.text("#drift") == "Ends 18:38, 7 minutes earlier"
    assert _seconds(phone) == [300, 180, 0, 0, 0]
    phone.tap("#undo")
    phone.tap("[data-go=now]")
    assert (phone.text("#title"), phone.text("#left")) == ("Bump and sprint", "7:00")


def test_a_minute_more(phone: Phone, page: Path, at: At) -> None:
    """+1 min lengthens what is on and moves the rest."""
    _open(phone, page, at("18:18"))
    phone.tap("#more")
    assert phone.text("#left") == "8:00"
    assert phone.text("#said") == "One minute more, until 18:26."
    assert phone.text("#drift") == "Ends 18:46, 1 minute later"
    phone.tap("[data-go=list]")
    phone.settle()
    assert phone.text("#segments li:nth-child(3) .at") == "18:26"
    assert phone.text("#segments li:nth-child(3) .was") == "planned 18:25"


def test_back_goes_on_with_the_drill_before(phone: Phone, page: Path, at: At) -> None:
    """Back gives the drill before the time it has had since, and one minute more."""
    _open(phone, page, at("18:25:20"))
    assert phone.text("#title") == "Water"
    phone.tap("#back")
    assert (phone.text("#title"), phone.text("#left")) == ("Bump and sprint", "1:00")
    phone.later(60)
    assert (phone.text("#title"), phone.text("#left")) == ("Water", "2:00")
    assert _seconds(phone)[1] == 680


def test_pause_stops_the_practice(phone: Phone, page: Path, at: At) -> None:
    """Paused time belongs to no segment and moves the end."""
    _open(phone, page, at("18:16"))
    phone.tap("#pause")
    phone.later(180)
    assert (phone.text("#left"), phone.text("#left-label")) == ("9:00", "paused")
    phone.tap("#pause")
    phone.later(60)
    assert phone.text("#left") == "8:00"
    assert phone.text("#drift") == "Ends 18:48, 3 minutes later"
    assert _seconds(phone) == [300, 120, 0, 0, 0]


def test_start_now_and_shift(phone: Phone, page: Path, at: At) -> None:
    """Practice can begin before or after its time, and be shifted by a minute."""
    _open(phone, page, at("18:02"))
    phone.tap("#start")
    assert (phone.text("#title"), phone.text("#left")) == ("Feet and voice", "5:00")
    assert phone.text("#drift") == "Ends 18:37, 8 minutes earlier"
    phone.later(90)
    phone.tap("#late summary")
    phone.tap("#later")
    assert phone.text("#left") == "4:30"
    phone.tap("#restart")
    assert phone.text("#left") == "5:00"
    assert phone.text("#began") == "Started at 18:03."


# What goes wrong with phones


def test_reload_keeps_everything(phone: Phone, page: Path, at: At) -> None:
    """Reloaded mid-practice, counts, extra minutes and undo are still there; another plan has none of it."""
    _open(phone, page, at("18:16"))
    phone.tap("#more")
    phone.tap(".counter:nth-child(1) .pair button:nth-child(1)")
    phone.later(60)
    phone.reload()
    phone.settle()
    assert (phone.text("#title"), phone.text("#left")) == ("Bump and sprint", "9:00")
    assert phone.text(".score") == "1 of 1"
    phone.tap("#undo")
    assert phone.text(".score") == "0 of 0"
    other = write_page(page.with_name("other.html"), dataclasses.replace(PLAN, minutes=36))
    phone.tap(".counter:nth-child(1) .pair button:nth-child(1)")
    phone.open(other)
    phone.settle()
    assert phone.text(".score") == "0 of 0"


def test_reload_without_storage(phone: Phone, page: Path, at: At) -> None:
    """Without storage the practice still outlives a reload, and the page says what it cannot keep."""
    phone.call(
        "Page.addScriptToEvaluateOnNewDocument",
        source="Object.defineProperty(window, 'localStorage', { get() { throw new Error('no'); } })",
    )
    _open(phone, page, at("18:16"))
    phone.tap(".counter:nth-child(1) .pair button:nth-child(1)")
    phone.reload()
    phone.settle()
    assert phone.text(".score") == "1 of 1"
    phone.tap("[data-go=finish]")
    assert "save the log first" in phone.text("#kept")
    assert phone.complaints() == []


@pytest.mark.parametrize("kept", ["{", "5", '{"lengths": [1]}', "[]", '{"planned": 1, "lengths": "x"}'])
def test_spoilt_storage_is_forgotten(phone: Phone, page: Path, at: At, kept: str) -> None:
    """What somebody else wrote under the page's key is not believed."""
    _open(phone, page, at("18:16"))
    phone.tap("#more")
    phone.js(f"localStorage.setItem(Object.keys(localStorage)[0], {json.dumps(kept)})")
    phone.js("window.dispatchEvent(new StorageEvent('storage', { key: Object.keys(localStorage)[0] }))")
    phone.settle()
    assert phone.text("#left") == "9:00"
    assert phone.complaints() == []


@pytest.mark.parametrize(("to", "word"), [("17:17", "back"), ("19:17", "forward")])
def test_clock_that_is_set(phone: Phone, page: Path, at: At, to: str, word: str) -> None:
    """Somebody sets the phone's clock by an hour: the practice goes on where it was, and says so."""
    _open(phone, page, at("18:16"))
    phone.clock(at(to), phone.tick + 60_000)
    phone.settle()
    assert (phone.text("#title"), phone.text("#left")) == ("Bump and sprint", "8:00")
    assert f"set {word} by 60 minutes" in phone.text("#notice-text")
    phone.tap("#keep")
    phone.later(60)
    assert phone.text("#notice") == ""
    assert phone.text("#left") == "7:00"
    assert _seconds(phone)[1] == 180


def test_clock_that_was_wrong(phone: Phone, page: Path, at: At) -> None:
    """If it was the phone's clock that was wrong, one tap follows it instead."""
    _open(phone, page, at("18:16"))
    phone.clock(at("18:26"), phone.tick + 1_000)
    phone.settle()
    phone.tap("#follow")
    phone.settle()
    assert phone.text("#title") == "Water"
    assert phone.text("#notice") == ""


def test_clock_set_back_while_closed(phone: Phone, page: Path, at: At) -> None:
    """Set back while the page was closed, the clock does not take the practice back."""
    _open(phone, page, at("18:18"))
    phone.tap("#more")
    phone.clock(at("17:19"), 1_000, open_page=False)
    phone.reload()
    phone.settle()
    assert phone.text("#title") == "Bump and sprint"
    assert "set back" in phone.text("#notice-text")


def test_sleep_is_time(phone: Phone, page: Path, at: At) -> None:
    """A phone that slept with the page hidden shows the real time when it wakes: no clock was set."""
    _open(phone, page, at("18:16"))
    phone.js("document.dispatchEvent(new Event('freeze'))")
    phone.js(f"testClock.set({at('18:26')}, {phone.tick + 1_000})")
    phone.js("document.dispatchEvent(new Event('resume'))")
    phone.settle()
    assert phone.text("#title") == "Water"
    assert phone.text("#notice") == ""


def test_night_of_the_clock_change(phone: Phone, tmp_path: Path, at: At) -> None:
    """A practice over the hour that summer time takes (US, 14 March 2027, 2:00) lasts as long as planned."""
    night = dt.date(2027, 3, 14)
    plan = dataclasses.replace(PLAN, date=night, start=115)
    page = write_page(tmp_path / "night.html", plan)
    _open(phone, page, at("01:59:30", day=night))
    assert (phone.text("#title"), phone.text("#left")) == ("Feet and voice", "0:30")
    phone.later(60)
    assert (phone.text("#title"), phone.text("#left")) == ("Bump and sprint", "9:30")
    assert phone.text("#clock") == "03:00"
    assert phone.text("#span") == "03:00 to 03:10"
    assert phone.text("#notice") == ""
    assert phone.text("#drift") == "Ends 03:30, as planned"


# Hands, eyes and ears


@pytest.mark.parametrize("size", [(390, 844), (320, 640), (844, 390), (1024, 768)])
def test_targets_and_width(phone: Phone, page: Path, at: At, size: tuple[int, int]) -> None:
    """Every button, box and field is at least 44 by 44, its words inside, nothing wider than the phone."""
    phone.size(*size)
    _open(phone, page, at("18:16"))
    for where in ("now", "list", "finish"):
        phone.tap(f"[data-go={where}]")
        phone.js("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
        phone.settle()
        small = phone.js(
            "[...document.querySelectorAll('button, summary, textarea, .tick, input:not(.tick input)')]"
            ".map((one) => [one.textContent || one.type, one.getBoundingClientRect()])"
            f".filter(([, box]) => box.width && (box.width < {SMALLEST} || box.height < {SMALLEST}))"
            ".map(([name, box]) => [name, box.width, box.height])"
        )
        assert small == [], (where, small)
        spilt = phone.js(
            "[...document.querySelectorAll('button')].filter((one) => one.scrollWidth > one.clientWidth + 1)"
            ".map((one) => one.textContent)"
        )
        assert spilt == [], (where, spilt)
        assert phone.js("document.documentElement.scrollWidth") <= size[0]


def test_everything_by_keyboard(phone: Phone, page: Path, at: At) -> None:
    """Tab and Enter alone count a stop and go on to the next; the focus is seen and is never lost."""
    _open(phone, page, at("18:16"))
    reached = []
    for _ in range(14):
        phone.key("Tab", 9)
        reached.append(phone.js("document.activeElement.id || document.activeElement.textContent"))
        assert phone.js("getComputedStyle(document.activeElement).outlineStyle") != "none"
        if reached[-1] == "+1 good tags":
            phone.key("Enter", 13, "\r")
        if reached[-1] == "skip":
            break
    assert reached[:3] == ["Now", "Plan", "Finish"]
    assert reached[-5:] == ["undo", "back", "pause", "more", "skip"]
    assert [phone.text(f".counter:nth-child({n}) .score") for n in (1, 2)] == ["1 of 1", "1 of 1"]
    phone.key("Enter", 13, "\r")
    assert phone.text("#title") == "Water"
    assert phone.js("document.activeElement.id") == "skip"


def test_focus_survives_the_next_segment(phone: Phone, page: Path, at: At) -> None:
    """When the segment changes under a focused counter, the focus goes to the new title."""
    _open(phone, page, at("18:24:59"))
    phone.js("document.querySelector('.counter button').focus()")
    phone.later(1)
    assert phone.js("document.activeElement.id") == "title"
    assert phone.text("#title") == "Water"


def test_what_a_screen_reader_hears(phone: Phone, page: Path, at: At) -> None:
    """Landmarks, one timer, a polite status and a name for every control are in the accessibility tree."""
    _open(phone, page, at("18:16"))
    for where in ("now", "list", "finish"):
        phone.tap(f"[data-go={where}]")
        phone.settle()
        tree = phone.call("Accessibility.getFullAXTree")["nodes"]
        nodes = [
            (one["role"]["value"], one.get("name", {}).get("value", "").strip())
            for one in tree
            if not one.get("ignored")
        ]
        roles = [role for role, _ in nodes]
        assert {"banner", "main", "navigation", "region", "status"} <= set(roles)
        controls = {
            "button",
            "checkbox",
            "radio",
            "spinbutton",
            "textbox",
            "img",
            "region",
            "DisclosureTriangle",
        }
        assert [role for role, name in nodes if role in controls and not name] == []
        if where == "now":
            assert ("timer", "9:00 left") in nodes
            assert {("img", "Picture of tag."), ("image", "Picture of tag.")} & set(nodes)
            assert ("button", "+1 good tags, Blue") in nodes
    assert phone.js("document.getElementById('said').getAttribute('aria-live')") == "polite"


@pytest.mark.parametrize("dark", [False, True])
def test_contrast_as_drawn(browser: Browser, page: Path, at: At, dark: bool) -> None:
    """Light or dark as the phone is set, the board and the page are drawn in the scheme's own colours."""
    phone = Phone(browser, zone="America/Chicago", dark=dark)
    try:
        _open(phone, page, at("18:16"))
        drawn = phone.js(
            "['body', '#board'].map((one) => getComputedStyle(document.querySelector(one)))"
            ".map((one) => [one.color, one.backgroundColor])"
        )
    finally:
        phone.close()
    light = [["rgb(25, 27, 31)", "rgb(244, 242, 234)"], ["rgb(255, 255, 255)", "rgb(11, 84, 80)"]]
    night = [["rgb(243, 240, 232)", "rgb(14, 17, 19)"], ["rgb(6, 35, 31)", "rgb(147, 220, 207)"]]
    assert drawn == (night if dark else light)


@pytest.mark.parametrize(
    "name",
    [
        "</script><script>document.title='taken'</script>",
        "<img src=x onerror=\"document.title='taken'\">",
        '"><svg onload="document.title=\'taken\'">',
        "{{js}} ${document.title='taken'} javascript:document.title='taken'",
    ],
)
def test_hostile_names_do_nothing(phone: Phone, tmp_path: Path, at: At, name: str) -> None:
    """A drill, group or team named like code is shown as it is written, everywhere, and nothing runs."""
    page = write_page(tmp_path / "hostile.html", *renamed(name))
    _open(phone, page, at("18:16"))
    before = phone.js("document.querySelectorAll('script, img, iframe, svg[onload]').length")
    assert phone.text("#title") == name
    phone.tap(".counter button")
    for where in ("list", "finish", "now"):
        phone.tap(f"[data-go={where}]")
        phone.settle()
    phone.later(540)
    assert phone.js("document.title") != "taken"
    assert before == phone.js("document.querySelectorAll('script, img, iframe, svg[onload]').length") == 2
    assert phone.requests() == [page.as_uri()]
    assert phone.complaints() == []


# The log


def test_the_log_is_read(phone: Phone, page: Path, at: At, tmp_path: Path) -> None:
    """Saved under Finish, with minutes, counts, absent and rating put right, the log reads as noted."""
    phone.browser.call(
        "Browser.setDownloadBehavior",
        behavior="allow",
        downloadPath=str(tmp_path),
        browserContextId=phone._context,
        eventsEnabled=True,
    )
    _open(phone, page, at("18:16"))
    phone.tap(".counter:nth-child(1) .pair button:nth-child(1)")
    phone.later(29 * 60)
    assert phone.text("#title") == "Practice is over"
    phone.tap("#wrap")
    for field, value in (("3 took", "9.5"), ("3 0 0", "7"), ("3 1 0", "11"), ("4 took", "0")):
        phone.tap(f"[data-field='{field}']")
        phone.js("document.activeElement.select()")
        phone.call("Input.insertText", text=value)
        phone.key("Tab", 9)
    phone.tap("[name=absent][value='12']")
    phone.tap("[name=rating][value='7']")
    phone.tap("#download")
    while True:
        done = [one for one in phone.browser.events if one.get("method") == "Browser.downloadProgress"]
        if done and done[-1]["params"]["state"] == "completed":
            break
        phone.settle()
    saved = tmp_path / "stopsheet-log-2026-12-03-1810.json"
    log = read_phone_log(saved.read_bytes(), saved.name)
    check_plan(log, PLAN)
    assert log.segments == (
        PhoneSegment(300),
        PhoneSegment(600, 1, 1),
        PhoneSegment(120),
        PhoneSegment(570, 7, 11),
        PhoneSegment(0),
    )
    assert (log.absent, log.rating, log.began) == (("12",), 7, 18 * 60 + 10)
    assert _log(phone) == json.loads(saved.read_text("utf-8"))


def test_round_trip(phone: Phone, season_home: Path, stopsheet: Stopsheet, tmp_path: Path, at: At) -> None:
    """Printed from a season, run on the phone and logged with --from, the season holds what was noted."""
    stopsheet.home = season_home
    page, saved = tmp_path / "practice.html", tmp_path / "log.json"
    assert stopsheet("print", "plan", "--to", str(page)).code == 0
    assert stopsheet("print", "plan", "--to", str(tmp_path / "plan.json")).code == 0
    plan = json.loads((tmp_path / "plan.json").read_text("utf-8"))
    day = dt.date.fromisoformat(plan["date"])
    number = next(n for n, one in enumerate(plan["segments"]) if one["kind"] == "drill")
    _open(phone, page, at(plan["segments"][number]["start"], day=day))
    assert phone.complaints() == []
    for button in (1, 1, 2):
        phone.tap(f".counter .pair button:nth-child({button})")
    phone.later(90)
    phone.tap("#skip")
    phone.later(3 * 60 * 60)
    saved.write_text(json.dumps(_log(phone)), "utf-8")
    stopsheet.on(day)
    ran = stopsheet("log", "--from", str(saved), "--json")
    assert ran.code == 0, ran.err
    shorter = plan["segments"][number]["minutes"] - 1.5
    assert ran.json["date"] == plan["date"]
    assert sum(ran.json["minutes"].values()) == pytest.approx(plan["minutes"] - shorter)
