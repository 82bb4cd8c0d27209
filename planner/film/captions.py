"""A coach talking over film, as automatic captions write it down: proposals of breakdowns with their times.

Nothing here is certain: every sighting waits for the coach's yes or no. Bounds: 5 MB, 50,000 cues,
200,000 words; the time taken grows with the length of the talk.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import cast

from planner.film.charged import charged
from planner.film.cues import read_cues, timestamp
from planner.film.hearing import Hearing
from planner.film.intake import Proposal, Unclear
from planner.film.lexicon import Lexicon
from planner.film.narration import Narration, load_narration
from planner.film.spoken import MOST_WORDS, Numerals, Word, blocks, stream
from planner.film.stance import Stretch
from planner.film.talk import Talk
from planner.film.telling import Telling
from planner.problem import Refusal
from planner.text import clean_line

PROPOSED = 0.5
"""From this sureness on it is put to the coach as a breakdown."""
_AGAIN = 12_000
"""Milliseconds within which the same breakdown is the same event told on."""
_REPLAY = 30_000
_SHOWN_BEFORE = 60_000
_TAKEN_BACK = 12_000
_TAKEN = -6.0
_SAME_BREATH = 4_000
_AROUND = 8
_OFTEN = 3
"""Example sentences with a word from which on it is said too often to be a name."""
_WORDING = 120
"""Characters kept of the very words that tell a breakdown."""
_CALLED = 4_000
"""Milliseconds before a breakdown within which a number no player of ours wears is asked about."""
_WHY = {
    "praise": "may be praise", "condition": "may be a condition", "teaching": "may be teaching",
    "theirs": "may be the opponents' mistake", "side": "may be the opponents' mistake",
    "offence": "may be our own attack", "scouting": "may be about an opponent", "denied": "it is denied",
    "retraction": "may be taken back", "past": "may be about another day", "summary": "may sum things up",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class CaptionReading:
    """What a narrated film yields; ``problems`` tells of cues that are not as they should be."""

    sightings: tuple[Proposal, ...]
    unclear: tuple[Unclear, ...]
    problems: tuple[str, ...]


@dataclass(slots=True)
class _Event:
    """A breakdown told, with its times in the film."""

    breakdown: str
    players: tuple[str, ...]
    start: int
    end: int
    odds: float
    line: int
    text: str
    stances: dict[str, float] = field(default_factory=dict)
    until: int = 0
    wording: str = ""
    asks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Turn:
    """A moment that changes what was told before it: a new clip, a replay, words taken back."""

    kind: str
    at: int
    weight: float


def read_captions(
    text: str,
    lexicon: Lexicon,
    roster: Collection[str] | None = None,
    names: Mapping[str, str] | None = None,
) -> CaptionReading:
    """Return the breakdowns told in WebVTT or SubRip captions.

    ``roster`` holds the team's jerseys; ``names`` what players are called -> jersey.

    Sightings are proposals with ``sure`` of at least 0.5; what may be one but is less sure is unclear.

    Raises:
        Refusal: more than 5 MB, 50,000 cues or 200,000 words.

    """
    read = read_cues(text)
    said = stream(read.cues)
    if len(said) >= MOST_WORDS:
        raise Refusal(f"The captions hold {MOST_WORDS:,} words or more; give one film per file.")
    narration = _narration(lexicon)
    team = narration.numerals.with_roster(roster, _spoken_names(names or {}, lexicon))
    events, turns = _heard(said, narration, lexicon, team)
    _take_back(events, turns)
    kept = _once(events, turns)
    proposed = [one for one in kept if _sure(one) >= PROPOSED]
    unclear = [Unclear(lost, why, line) for line, lost, why in read.lost]
    unclear += [_unsure(one) for one in _doubtful(kept, narration.base["unclear"])]
    return CaptionReading(tuple(map(_proposal, proposed)), tuple(unclear), tuple(read.problems))


def _narration(lexicon: Lexicon) -> Narration:
    if "narration" not in lexicon.compiled:
        lexicon.compiled["narration"] = load_narration(lexicon.narration)
    return cast("Narration", lexicon.compiled["narration"])


def _spoken_names(names: Mapping[str, str], lexicon: Lexicon) -> dict[str, str]:
    """Return what players are called, less words that coaches say anyway."""
    if not names:
        return {}
    if "spoken words" not in lexicon.compiled:
        every = [
            one for key in ("said", "turned") for many in lexicon.narration[key].values() for one in many
        ]
        lexicon.compiled["spoken words"] = Counter(word for one in every for word in one.split())
    often = cast("Counter[str]", lexicon.compiled["spoken words"])
    return {
        name: number
        for name, number in names.items()
        if " " in name or (len(name) > 1 and often[name] < _OFTEN and name not in lexicon.known)
    }


def _doubtful(events: Sequence[_Event], least: float) -> list[_Event]:
    """Return what may be a breakdown where nothing is proposed, the surest of a breath only."""
    kept: list[_Event] = []
    for one in events:
        last = kept[-1] if kept and one.start - kept[-1].until < _SAME_BREATH else None
        if _sure(one) < least:
            continue
        if last is None:
            kept.append(one)
        elif _sure(one) > _sure(last):
            kept[-1] = one
    return [one for one in kept if _sure(one) < PROPOSED]


def _heard(
    said: Sequence[Word], narration: Narration, lexicon: Lexicon, team: Numerals
) -> tuple[list[_Event], list[_Turn]]:
    events: list[_Event] = []
    words: list[Word] = []
    heard: list[Telling] = []
    turns: list[_Turn] = []
    for block in blocks(said):
        stretch = Stretch(team.joined(block), narration, lexicon)
        hearing = Hearing(stretch)
        told = hearing.tellings()
        asked = [_event(stretch.words, one) for one in told]
        if team.roster is not None:
            _ask(asked, _strangers(block, narration.numerals, team.roster))
        events += asked
        heard += [replace(one, start=one.start + len(words), end=one.end + len(words)) for one in told]
        words += stretch.words
        turns += [
            _Turn(hit.what.stance, stretch.words[hit.start].start, hit.what.weight)
            for hit in stretch.marks
            if hit.what.past
        ]
        turns += [_follow(kind, stretch.words[at].start) for kind, at in hearing.follows()]
    talk = Talk(words, heard, team.roster)
    for event, one in zip(events, heard, strict=True):
        event.players = charged(talk, one)
        event.asks = () if event.players else event.asks
    turns.sort(key=lambda turn: turn.at)
    return events, turns


def _strangers(block: Sequence[Word], numerals: Numerals, roster: Collection[str]) -> list[Word]:
    """Return the jerseys said that no player of ours wears."""
    every = numerals.with_roster(None).joined(block)
    return [word for word in every if word.player is not None and word.player not in roster]


def _ask(events: Sequence[_Event], strangers: Sequence[Word]) -> None:
    """Ask about the stranger named last before, or in, a breakdown."""
    for one in events:
        near = [word for word in strangers if one.start - _CALLED <= word.start <= one.end]
        if near:
            one.asks = (str(near[-1].player),)


def _follow(kind: str, at: int) -> _Turn:
    return _Turn("retraction", at, _TAKEN) if kind == "taken_back" else _Turn("repeat", at, 0.0)


def _event(words: Sequence[Word], told: Telling) -> _Event:
    run = words[told.start : told.end]
    around = words[max(0, told.start - _AROUND) : told.end + _AROUND]
    text = clean_line(" ".join(word.said for word in around), 300)
    end = max(word.end for word in run)
    wording = " ".join(word.text for word in run)[:_WORDING]
    return _Event(
        told.breakdown, (), run[0].start, end, told.odds, run[0].line, text, told.stances, end, wording
    )


def _take_back(events: Sequence[_Event], turns: Sequence[_Turn]) -> None:
    """Lower what was told just before words that take it back."""
    clips = [turn.at for turn in turns if turn.kind == "clip"]
    at = 0
    for turn in turns:
        if turn.kind != "retraction":
            continue
        while at < len(events) and events[at].start < turn.at:
            at += 1
        recent = [one for one in events[max(0, at - 6) : at] if 0 <= turn.at - one.end + 500 <= _TAKEN_BACK]
        recent = [one for one in recent if not _between(clips, one.end, turn.at)]
        for one in recent:
            if one.end >= recent[-1].end - _SAME_BREATH and "retraction" not in one.stances:
                one.stances["retraction"] = turn.weight
                one.odds += turn.weight


def _between(times: Sequence[int], start: int, end: int) -> bool:
    """Say whether one of the times, which are in order, lies between two instants."""
    at = bisect_right(times, start)
    return at < len(times) and times[at] < end


def _once(events: Sequence[_Event], turns: Sequence[_Turn]) -> list[_Event]:
    """Return each event once: told on within seconds, or told again over a replay, it is the same."""
    clips = [turn.at for turn in turns if turn.kind == "clip"]
    replays = [turn.at for turn in turns if turn.kind == "repeat"]
    latest: dict[str, list[_Event]] = {}
    kept: list[_Event] = []
    for one in events:
        same = [old for old in latest.get(one.breakdown, []) if _alike(old, one)]
        first = next((old for old in reversed(same) if _repeats(old, one, clips, replays)), None)
        if first is None:
            kept.append(one)
            latest[one.breakdown] = [*latest.get(one.breakdown, [])[-5:], one]
            continue
        first.players = tuple(dict.fromkeys([*first.players, *one.players]))
        first.asks = () if first.players else first.asks or one.asks
        if one.odds > first.odds:
            first.odds, first.stances = one.odds, one.stances
        first.until = max(first.until, one.end)
    return kept


def _alike(old: _Event, new: _Event) -> bool:
    return not old.players or not new.players or bool(set(old.players) & set(new.players))


def _repeats(old: _Event, new: _Event, clips: Sequence[int], replays: Sequence[int]) -> bool:
    gap = new.start - old.until
    if _between(clips, old.until, new.start):
        return False
    if -_AGAIN <= gap <= _AGAIN:
        return True
    since = max(old.until - 1000, new.start - _REPLAY)
    return 0 < gap <= _SHOWN_BEFORE and _between(replays, since - 1, new.start + 1)


def _sure(one: _Event) -> float:
    return round(1.0 / (1.0 + math.exp(-max(-30.0, min(30.0, one.odds)))), 2)


def _proposal(one: _Event) -> Proposal:
    return Proposal(
        one.breakdown,
        line=one.line,
        start=timestamp(one.start),
        end=timestamp(one.end),
        players=one.players,
        sure=_sure(one),
        text=one.text,
        wording=one.wording,
        asks=one.asks,
    )


def _unsure(one: _Event) -> Unclear:
    stance = min(one.stances, key=lambda name: one.stances[name], default="")
    why = _WHY.get(stance, "not sure enough") if one.stances.get(stance, 0.0) < 0 else "not sure enough"
    return Unclear(one.text, f"{one.breakdown}? {why}", one.line, timestamp(one.start))
