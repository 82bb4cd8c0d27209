"""What costs us most, from all film that is in; what more film would tell; who goes first."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from planner.desk.desk import Desk
from planner.desk.film_proposals import waiting_words
from planner.desk.scheme import Scheme, floor_of, scheme_on
from planner.desk.words import vocabulary
from planner.need.estimate import Needs, WatchedGame
from planner.season.minutes import minutes_by_practice
from planner.store import queries

if TYPE_CHECKING:
    from planner.need.advice import Advice
    from planner.need.players import PlayerFilm, Players
    from planner.need.settings import NeedSettings

Blame = Literal["all", "first"]


@dataclass(frozen=True, slots=True)
class Fed:
    """What the estimates are fed: film, settings, the scheme behind them, and what is left out."""

    games: tuple[WatchedGame, ...]
    settings: NeedSettings
    scheme: Scheme
    notes: tuple[str, ...]


def assess_needs(desk: Desk, as_of: dt.date | None = None, blame: Blame = "all") -> Needs:
    """Return the needs as of a day (today): film, emphasis, what is played, whom we meet, minutes.

    ``blame``: every breakdown of a possession counts, or the first alone.
    """
    return assess_fed(desk, feed(desk, as_of, blame), as_of)


def assess_fed(desk: Desk, fed: Fed, as_of: dt.date | None = None) -> Needs:
    """Return the needs of what was gathered by ``feed``."""
    from planner.need.needs import assess

    found = assess(fed.games, vocabulary(desk), as_of or desk.today, fed.settings)
    return replace(found, notes=(*found.notes, *fed.notes)) if fed.notes else found


def feed(desk: Desk, as_of: dt.date | None = None, blame: Blame = "all") -> Fed:
    """Gather what the estimates need from the store."""
    from planner.need.carry import carry_over, oldest_carried
    from planner.need.settings import NeedSettings

    day = as_of or desk.today
    with desk.reading() as session:
        games = queries.watched_games(session, day)
        settings = queries.settings(session)
        emphasis = queries.emphasis_on(session, day)
        off = queries.switched_off(session)
        half_life = float(settings.get("half-life", 14))
        done = queries.done_practices(session, oldest_carried(day, half_life), day)
        unknown = queries.unknown_exposure(session, day)
        waiting = len(queries.proposals(session))
        scheme = scheme_on(desk, session, day)
    chosen = NeedSettings(
        half_life_games=float(settings.get("film-half-life", NeedSettings().half_life_games)),
        emphasis=emphasis,
        exposure=scheme.factors,
        off=off | frozenset(scheme.off),
        carried=carry_over(minutes_by_practice(done), day, half_life_days=half_life),
        blame=blame,
    )
    notes = (*_left_out([one.file for one in unknown]), *filter(None, [waiting_words(waiting)]))
    return Fed(games, chosen, scheme, notes)


def _left_out(files: Sequence[str]) -> tuple[str, ...]:
    if not files:
        return ()
    told = "'stopsheet film watched' says it"
    return (f"Left out, because nobody says how many possessions were watched: {', '.join(files)}; {told}.",)


def more_film(desk: Desk, fed: Fed, as_of: dt.date | None = None) -> tuple[Advice, ...]:
    """Return how much narrower each interval would be after one more game, widest gain first."""
    from planner.need.advice import one_more_game

    return one_more_game(fed.games, vocabulary(desk), as_of or desk.today, fed.settings)


def player_needs(desk: Desk, as_of: dt.date | None = None) -> Players:
    """Return who was charged with what, by jersey; for the coaches, never printed unasked."""
    from planner.need.players import charged_players

    film, roster, off = _charged(desk, as_of)
    return charged_players(film, roster, vocabulary(desk), off)


def who_needs(desk: Desk, principle: str, as_of: dt.date | None = None) -> tuple[str, ...]:
    """Return, by jersey, who goes first in a drill for a principle; empty where film tells nobody apart."""
    return FirstIn(desk, as_of).get(principle, ())


class FirstIn(Mapping[str, tuple[str, ...]]):
    """Principle -> who goes first in its drills, by jersey; the film is asked when the first is wanted."""

    def __init__(self, desk: Desk, as_of: dt.date | None = None) -> None:
        self._desk, self._as_of = desk, as_of
        self._found: dict[str, tuple[str, ...]] | None = None

    def _known(self) -> dict[str, tuple[str, ...]]:
        if self._found is None:
            from planner.need.players import goes_first

            film, roster, off = _charged(self._desk, self._as_of)
            words = vocabulary(self._desk)
            firsts = {one.id: goes_first(film, roster, words, one.id, off) for one in words.principles}
            self._found = {principle: jerseys for principle, jerseys in firsts.items() if jerseys}
        return self._found

    def __getitem__(self, principle: str) -> tuple[str, ...]:
        return self._known()[principle]

    def __iter__(self) -> Iterator[str]:
        return iter(self._known())

    def __len__(self) -> int:
        return len(self._known())


def _charged(
    desk: Desk, as_of: dt.date | None
) -> tuple[tuple[PlayerFilm, ...], tuple[str, ...], frozenset[str]]:
    day = as_of or desk.today
    with desk.reading() as session:
        film = queries.player_film(session, day)
        floor = floor_of(session)
        roster = tuple(one.jersey for one in queries.players(session, active=True))
        off = queries.switched_off(session) | frozenset(scheme_on(desk, session, day).off)
    told = tuple(replace(one, defended=floor.get(one.game, {})) for one in film)
    return told, roster, off
