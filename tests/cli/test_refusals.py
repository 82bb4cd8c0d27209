"""Whatever is typed wrongly: one sentence on stderr, exit code 2, nothing changed."""

from __future__ import annotations

import datetime as dt
import os
from pathlib import Path

import pytest

from tests.running import TODAY, Stopsheet, assert_refused, everything

LONG = "x" * 300
NASTY = "\x1b[31m\x1b]0;owned\x07[bold red]no\u202eway"
TOMORROW = TODAY + dt.timedelta(days=1)

TYPED: list[tuple[tuple[str, ...], tuple[str, ...]]] = [
    # dates and times
    (("plan", "--on", "3/4"), ("'3/4' can be read more than one way",)),
    (("plan", "--on", "blursday"), ("'blursday' is not a date",)),
    (("plan", "--on", "10:30"), ("'10:30' is not a date",)),
    (("plan", "--on", "yesterday"), ("2027-01-12 is past",)),
    (("plan", "--on", "2027-02-30"), ("not a day of the calendar",)),
    (("plan", "--start", "25:00"), ("'25:00' is not a time of day",)),
    (("needs", "--as-of", "3/4"), ("more than one way",)),
    (("season", "--since", "tomorrow"), ("would end on 2027-01-13 before it starts on 2027-01-14",)),
    (("team", "gym", "tue", "17:00", "16:30"), ("ends before it starts",)),
    (("team", "gym", "tue", "noonish", "16:30"), ("'noonish' is not a time of day",)),
    (("team", "gym", "monkey", "15:00", "16:00"), ("'monkey' is not a date",)),
    (("team", "gym", "FREQ=WEEKLY;BYDAY=", "15:00", "16:00"), ("is not a rule for gym days",)),
    (("team", "game", "3/4", "X"), ("more than one way",)),
    (("team", "new", "X", "--from", "2027-02-01", "--to", "2027-01-01"), ("before it starts",)),
    # numbers
    (("plan", "--squad", "0"), ("A squad of 0 cannot practise",)),
    (("plan", "--squad", "eleven"), ("invalid int value: 'eleven'",)),
    (("plan", "--minutes", "30"), ("Fixed blocks need 21 min", "15 min", "30 min")),
    (("plan", "--minutes", "0"), ("0 minutes",)),
    (("plan", "--minutes", "9999999"), ("too long; give at most 300",)),
    (("plan", "--load", "nan"), ("A load ceiling of nan is out of range",)),
    (
        ("plan", "--pin", "weak-side-crash=50", "meet-it-at-half=40"),
        ("need 90 min", "36 min", "126 min", "has 90"),
    ),
    (("plan", "--pin", "weak-side-crash=²"), ("no whole number of minutes",)),
    (("plan", "--fixed", "Talk", "²", "last"), ("'²' is no whole number of minutes for 'Talk'",)),
    (("plan", "--fixed", "Talk", "5", "²"), ("'²' is no place for a block",)),
    (("plan", "--fixed", "Talk", "5", "-3"), ("'-3' is no place for a block",)),
    (("plan", "--fixed", "Talk", "9" * 5000, "last"), ("is no whole number of minutes",)),
    (("team", "fixed", "Talk", "0"), ("a fixed block must last at least a minute",)),
    (("team", "fixed", "Talk", "9" * 30), ("too large to keep",)),
    (("team", "fixed", "Talk", "5", "--effort", "11"), ("effort",)),
    (("team", "fixed", "Talk", "5", "--day", "moonday"), ("'moonday' is no weekday; say mon to sun",)),
    (("team", "set", "minutes", "many"), ("'many' is no number",)),
    (("team", "set", "minutes", "9"), ("must be from 10 to 300",)),
    (("team", "set", "minutes", "nan"), ("must be from 10 to 300",)),
    (("team", "set", "start", "half past"), ("is not a time of day",)),
    (("team", "set", "minuts", "80"), ("'minuts' is no setting; did you mean minutes",)),
    (("team", "emphasis", "box-out", "-1"), ("An emphasis of -1 is out of range",)),
    # words
    (("plan", "--away", "99"), ("No player wears 99",)),
    (("plan", "--away", "ninety-nine"), ("is not a jersey",)),
    (("plan", "--pin", "no-such-drill"), ("There is no drill 'no-such-drill'",)),
    (("plan", "--keep-out", "no-such-drill"), ("There is no drill 'no-such-drill'",)),
    (("plan", "--pin", "weak-side-crash", "--keep-out", "weak-side-crash"), ("both pinned and kept out",)),
    (("team", "player", "1234"), ("'1234' is not a jersey",)),
    (("team", "player", ""), ("is not a jersey",)),
    (("team", "player", "99", "--remove"), ("No player wears 99",)),
    (("team", "game", "sat", ""), ("A game needs an opponent",)),
    (("team", "teach", "no-boxout", "off"), ("'no-boxout' is no breakdown; did you mean no-box-out",)),
    (("team", "emphasis", "boxout", "2"), ("'boxout' is no principle; did you mean box-out",)),
    (("team", "passed", "tags", "walk"), ("'tags' is no principle; did you mean tag",)),
    (("team", "passed", "tag", "expert"), ("'expert' is no stage",)),
    (("drills", "show", "weak-side-crush"), ("weak-side-crash",)),
    (("drills", "list", "--principle", "boxout"), ("'boxout' is no principle",)),
    (("drills", "list", "--stage", "expert"), ("invalid choice: 'expert'",)),
    # film
    (("film", "read", "nowhere.txt"), ("'nowhere.txt' is not there; name a film note",)),
    (("film", "add", "nowhere.txt"), ("'nowhere.txt' is not there",)),
    (("film", "read", LONG), ("File name too long",)),
    (("film", "undo", "400"), ("There is no film note 400",)),
    (("film", "undo", "9" * 30), ("There is no film note 9",)),
    (("film", "sort", "9" * 30, "no-tag"), ()),
    (("film", "sort", "1", "no-boxout"), ("'no-boxout' is no breakdown",)),
    # logging
    (("log",), ("No planned practice up to today waits to be logged",)),
    (("log", "tomorrow"), ("2027-01-14 is still ahead",)),
    (("log", "2027-01-12"), ("There is no plan for 2027-01-12",)),
    (("log", "blursday"), ("'blursday' is not a date",)),
    (("log", "--took", "three=9"), ("'three=9' cannot be read; write it as 3=9",)),
    (("log", "--took", "3=9:30:00"), ("cannot be read; write it as 3=9",)),
    (("log", "--stops", "3=7"), ("cannot be read; write it as 4=7/10",)),
    # files out and in
    (("print", "plan", "--to", "plan.docx"), ("'plan.docx' ends in none of .pdf",)),
    (("print", "plan", "--to", f"{LONG}.pdf"), ("too long",)),
    (("print", "plan", "--to", "no/such/folder/plan.pdf"), ("There is no folder",)),
    (("print", "plan", "--on", "2027-01-20"), ("There is no plan for 2027-01-20",)),
    (("export", "--to", "no/such/folder/all.json"), ("There is no folder",)),
    (("restore", "nowhere.db"), ("'nowhere.db' is not there; name a file that 'backup' made",)),
    (("restore", LONG), ("cannot be read: File name too long",)),
    (("demo", "--folder", LONG), ("File name too long",)),
    # the command itself
    (("plann",), ("invalid choice: 'plann'",)),
    (("plan", "--bogus"), ("unrecognized arguments: --bogus",)),
    (("film", "add"), ("required: FILE",)),
]


@pytest.fixture
def there(
    stopsheet: Stopsheet, season_home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Stopsheet:
    """Return the command line at a copy of the demo, in an empty folder."""
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")
    stopsheet.home = season_home
    return stopsheet


@pytest.mark.parametrize(("typed", "words"), TYPED, ids=[" ".join(one)[:60] for one, _ in TYPED])
def test_a_wrong_word_changes_nothing(
    there: Stopsheet, typed: tuple[str, ...], words: tuple[str, ...]
) -> None:
    """One sentence says what is wrong and what would do; the data are what they were, and no file appears."""
    before = everything(there.home)
    assert_refused(there(*typed), *words)
    assert everything(there.home) == before
    assert list(Path.cwd().iterdir()) == []


FILES: list[tuple[str, bytes, str]] = [
    ("empty.txt", b"", "is empty"),
    ("blank.txt", b"\n \r\n", "is empty"),
    ("film.mp4", bytes(range(256)) * 50, "is no"),
    ("sheet.pdf", b"%PDF-1.7\n" + bytes(300), "is no"),
    ("bare.txt", b"Q1 8:42 2 no box out 21\n", "add --game NUMBER"),
    ("ahead.txt", b"Opponent: X\nDate: 2027-02-01\nQ1 8:42 2 no box out\n", "still ahead"),
]


@pytest.mark.parametrize(("name", "raw", "words"), FILES, ids=[one[0] for one in FILES])
def test_a_wrong_file_changes_nothing(there: Stopsheet, name: str, raw: bytes, words: str) -> None:
    """A file that is no film note, or of no game that can be told, is refused by name."""
    Path(name).write_bytes(raw)
    before = everything(there.home)
    assert_refused(there("film", "add", name), f"'{name}'", words)
    assert everything(there.home) == before


def test_a_folder_without_notes_is_refused(there: Stopsheet) -> None:
    """A folder that holds no film note is named."""
    Path("season").mkdir()
    assert_refused(there("film", "add", "season"), "'season'", "no film note")


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may read everything")
def test_a_file_without_permission_is_refused(there: Stopsheet) -> None:
    """A note and a copy that may not be read are refused with the reason."""
    note = Path("note.txt")
    note.write_text("Opponent: X\nDate: 2027-01-11\nQ1 8:42 2 no box out\n")
    note.chmod(0)
    assert_refused(there("film", "add", "note.txt"), "Permission denied")
    assert_refused(there("restore", "note.txt"))


def test_somebody_else_s_file_is_not_printed_over(there: Stopsheet) -> None:
    """A file that stopsheet did not make stays as it is."""
    Path("mine.pdf").write_bytes(b"%PDF- my own")
    assert_refused(there("print", "plan", "--to", "mine.pdf"), "was not made by stopsheet")
    assert Path("mine.pdf").read_bytes() == b"%PDF- my own"


def test_what_is_no_copy_is_not_restored(there: Stopsheet) -> None:
    """A text in place of a copy leaves the data alone."""
    Path("copy.db").write_text("no copy")
    before = everything(there.home)
    assert_refused(there("restore", "copy.db"), "cannot be restored")
    assert everything(there.home) == before


def test_numbers_of_a_log_that_cannot_be(there: Stopsheet) -> None:
    """Of the practice that was run tonight, each impossible number is named and nothing is logged."""
    there.on(TOMORROW)
    before = everything(there.home)
    for typed, words in (
        (("--took", "99=5"), "there is no segment 99"),
        (("--took", "1=-4"), "cannot have taken -4 minutes"),
        (("--took", "1=nan"), "cannot have taken nan minutes"),
        (("--stops", "2=8/7"), "8 of 7 cannot be"),
        (("--stops", "1=1/2"), "is no drill and has no score"),
        (("--rating", "11"), "An effort rating of 11 is off the scale"),
        (("--absent", "99"), "No player wears 99"),
        (("--absent", "a b c d"), "is not a jersey"),
    ):
        assert_refused(there("log", *typed), words)
    assert everything(there.home) == before


NASTY_TYPED: list[tuple[str, ...]] = [
    ("plan", "--pin", NASTY),
    ("plan", "--pin", f"{NASTY}=x"),
    ("plan", "--keep-out", NASTY),
    ("plan", "--on", NASTY),
    ("plan", "--away", NASTY),
    ("plan", "--fixed", NASTY, "x", "last"),
    ("plan", "--fixed", "T", NASTY, "last"),
    ("plan", NASTY),
    ("plan", "--bogus", f"two\nlines{NASTY}"),
    ("team", "set", NASTY, "1"),
    ("team", "set", "minutes", NASTY),
    ("team", "teach", NASTY, "off"),
    ("team", "gym", f"FREQ={NASTY}", "15:00", "16:00"),
    ("team", "player", NASTY),
    ("drills", "show", NASTY),
    ("film", "add", f"{NASTY}.txt"),
    ("film", "sort", "1", NASTY),
    ("restore", f"{NASTY}.db"),
    ("print", "plan", "--to", f"{NASTY}.docx"),
    ("print", "plan", "--to", f"no/such/{NASTY}.pdf"),
    ("log", NASTY),
    ("log", "--took", NASTY),
    (NASTY,),
]


@pytest.mark.parametrize("typed", NASTY_TYPED, ids=[" ".join(one[:2])[:12] for one in NASTY_TYPED])
def test_hostile_words_come_back_clean(there: Stopsheet, typed: tuple[str, ...]) -> None:
    """Escapes in what is typed (or pasted) never reach the terminal with the refusal."""
    before = everything(there.home)
    assert_refused(there(*typed))
    assert everything(there.home) == before


COMMANDS: list[tuple[str, ...]] = [
    ("needs",),
    ("plan",),
    ("print", "plan"),
    ("log",),
    ("season",),
    ("team",),
    ("team", "player", "4"),
    ("team", "set", "minutes", "80"),
    ("film", "list"),
    ("film", "undo"),
    ("film", "unclear"),
    ("undo",),
    ("backup",),
    ("export",),
]


@pytest.mark.parametrize("typed", COMMANDS, ids=[" ".join(one) for one in COMMANDS])
def test_without_a_team_each_command_says_how_to_begin(stopsheet: Stopsheet, typed: tuple[str, ...]) -> None:
    """Before a team is set up, nothing is made and the first step is named."""
    assert_refused(stopsheet(*typed), "There is no team here yet; begin with 'stopsheet team new NAME'")
    assert not stopsheet.home.exists()


@pytest.mark.parametrize("raw", [b"no database at all" * 40, b"SQLite format 3\0" + bytes(500)])
def test_a_damaged_database_is_named(there: Stopsheet, raw: bytes) -> None:
    """A file that is no database, or a broken one, is refused with its path and left as it is."""
    path = there.home / "stopsheet.db"
    path.write_bytes(raw)
    for typed in (("needs",), ("team", "player", "4"), ()):
        assert_refused(there(*typed), str(path))
    assert path.read_bytes() == raw


def test_a_data_folder_that_is_a_file_is_named(stopsheet: Stopsheet, tmp_path: Path) -> None:
    """A file in the place of the data folder is refused with its name."""
    (tmp_path / "file").write_text("in the way")
    stopsheet.home = tmp_path / "file" / "home"
    assert_refused(stopsheet("team", "new", "Herons"), str(tmp_path / "file"))
    assert_refused(stopsheet("demo", "--folder", str(tmp_path / "file" / "demo")), str(tmp_path / "file"))
