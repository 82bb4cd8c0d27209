"""A film session as a block of practice: when, and which clips serve what costs most."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from planner.build.brief import FixedBlock
from planner.clock import parse_clock
from planner.desk.words import vocabulary
from planner.problem import Refusal
from planner.store import queries
from planner.text import clean_line

if TYPE_CHECKING:
    from planner.desk.desk import Desk
    from planner.film.intake import Intake, Sighting
    from planner.need.estimate import Needs

TITLE = "Film session"
NEEDS, CLIPS = 2, 3
"""How many needs the session is about, and clips for each."""
GAMES = 3
"""The latest games with film that clips are taken from."""
LONGEST = 60
"""Minutes of a film session at most."""


def parse_film_session(text: str) -> tuple[int, int | None]:
    """Return minutes and minute of the day (None: before the warm-up) for ``15`` or ``15@16:30``.

    Raises:
        Refusal: the text says neither.

    """
    minutes, found, when = text.partition("@")
    said = clean_line(minutes, 20)
    if not (said.isascii() and said.isdigit() and 1 <= int(said) <= LONGEST):
        raise Refusal(f"'{said}' is no length for a film session; give 1 to {LONGEST} minutes, as 15@16:30.")
    return int(said), parse_clock(when) if found else None


def film_block(desk: Desk, minutes: int, at: int | None, start: int, needs: Needs) -> FixedBlock:
    """Return the block for a practice that starts at minute ``start`` of the day.

    It is in a classroom: it needs no basket, and players drink as they like.

    Raises:
        Refusal: it would begin before practice.

    """
    if at is not None and at < start:
        raise Refusal("The film session would begin before practice; begin practice earlier with --start.")
    where: int | str = "start" if at is None or at == start else at - start
    return FixedBlock(TITLE, minutes, where, effort=1, halves=0, content=clips(desk, needs))


def clips(desk: Desk, needs: Needs) -> str:
    """Return in one line the clips for what costs most: game and clock, the newest games first."""
    words = vocabulary(desk)
    seen = _seen(desk)
    parts = []
    for need in needs.principles[:NEEDS]:
        own = {one.id for one in words.breakdowns if one.principle == need.principle}
        by_game: dict[str, list[str]] = {}
        for game, when in [(game, when) for name, game, when in seen if name in own][:CLIPS]:
            by_game.setdefault(game, []).append(when)
        found = "; ".join(f"{game} {', '.join(whens)}" for game, whens in by_game.items())
        title = words.principle_by_id[need.principle].title
        parts.append(f"{title}, {found or 'no clip noted yet'}")
    return clean_line(f"Clips: {'. '.join(parts)}.", 240) if parts else ""


def _seen(desk: Desk) -> list[tuple[str, str, str]]:
    """Return breakdown, game and clock of what the newest games' film shows, dearest first."""
    found: list[tuple[str, str, str]] = []
    with desk.reading() as session:
        games = {one.id: one for one in queries.games(session) if not one.scouted}
        readings = [one for one in queries.intakes(session) if one.game in games and one.sightings]
        newest = sorted({one.game for one in readings}, key=lambda one: (games[one].date, one))[-GAMES:]
        for game in reversed(newest):
            for reading in (one for one in readings if one.game == game):
                found += _of_reading(queries.intake(session, reading.id), f"v {games[game].opponent}")
    return found


def _of_reading(film: Intake, game: str) -> Iterator[tuple[str, str, str]]:
    clock = {one.number: f"{one.period or ''} {one.clock or ''}".strip() for one in film.trips}
    dearest = sorted(enumerate(film.sightings), key=lambda one: (-(one[1].points or 0), one[0]))
    for _, one in dearest:
        when = _when(one, clock)
        if when:
            yield one.breakdown, clean_line(game, 60), clean_line(when, 20)


def _when(one: Sighting, clock: dict[int, str]) -> str:
    if one.start:
        return one.start.partition(".")[0].removeprefix("00:")
    return clock.get(one.possession or 0, "")
