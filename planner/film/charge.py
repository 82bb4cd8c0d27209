"""Which players a breakdown on a line is charged to, how often it is counted, and what was not understood."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from planner.film.items import GOES_ON, NAMED, NOBODYS, Item
from planner.film.points import Habits
from planner.film.wording import Lexicon

_CODE = 4
"""Longest word that looks like a short form."""
_NEAR_WORDS = 6
_TOWARD = frozenset({"on", "by", "past", "against", "over", "from", "to"})
_SUBJECT = 4
"""Words of a stretch among which its subject stands."""
_PRONOUNS = frozenset({"he", "she"})
_FOLLOWS = frozenset(
    {
        *(
            ("no-tag", "free-cutter"),
            ("no-tag", "unmatched"),
            ("no-tag", "no-box-out"),
            ("missed-switch", "unmatched"),
        ),
        *(("stuck-on-tag", "unmatched"), ("stuck-on-tag", "late-closeout"), ("free-cutter", "no-box-out")),
        *(
            ("strong-side-help", "unmatched"),
            ("strong-side-help", "over-commit"),
            ("no-pursuit", "inside-lost"),
        ),
    }
)
"""What is only said to tell how the first went on, when it names nobody else: roll man free, no bump."""
_ON_BALL = frozenset(
    {"no-pressure", "blown-by", "gave-middle", "died-on-screen", "no-contest", "late-closeout"}
)
"""Mistakes of one man that a stretch right behind him can tell without naming him."""
_OF_ALL = frozenset({"no-talk"})
"""What is told of nobody in particular unless somebody is named with it."""
_WELL = frozenset({"praised", "clean", "stop"})
_PAIR = 2
_TWO = frozenset({"pair", "both", "two"})
_LET = frozenset({"let", "lets", "letting"})
_BOTH = frozenset(
    {
        *("right", "there", "here", "nearest", "closest", "again", "also", "man", "guy", "thats"),
        "both",
        "each",
        "also",
        "too",
        "again",
        "all",
        "thats",
        "that",
        "on",
        "its",
        "it",
        "was",
        "is",
        "by",
        "from",
        "fault",
    }
)
_REMARK = 3
"""Longest stretch of unknown words that may be a breakdown we do not know."""


@dataclass(slots=True)
class Charge:
    """One breakdown of a line with the players charged."""

    breakdown: str
    sure: float
    players: list[str] = field(default_factory=list)
    count: int = 1
    named: bool = False
    """It is called by its own name, so that it is meant whatever stands beside it."""
    nobodys: bool = False
    """It tells what nobody did."""
    both: bool = False
    """It is told of two who were named before."""

    def add(self, players: Sequence[str]) -> None:
        """Charge more players, each once."""
        self.players[:] = dict.fromkeys([*self.players, *players])


@dataclass(slots=True)
class Charged:
    """What a line charges; ``odd`` says what could not be understood and why."""

    charges: list[Charge] = field(default_factory=list)
    odd: list[str] = field(default_factory=list)


@dataclass(slots=True)
class _Part:
    """A stretch between separators: breakdowns (Charge), groups of players (lists) and links, in order."""

    opens: bool = False
    """It is the first of its sentence."""
    pieces: list[Charge | list[str] | str] = field(default_factory=list)
    times: list[tuple[int, int]] = field(default_factory=list)
    words: list[str] = field(default_factory=list)
    meanings: list[str] = field(default_factory=list)

    @property
    def charges(self) -> list[Charge]:
        return [one for one in self.pieces if isinstance(one, Charge)]

    @property
    def groups(self) -> list[list[str]]:
        return [one for one in self.pieces if isinstance(one, list)]


def charge(line: Sequence[Item], points: frozenset[int], habit: Habits, lexicon: Lexicon) -> Charged:
    """Attach players and counts to the breakdowns of a line.

    A player belongs to the breakdown of his own stretch (between commas, slashes, sentences). Where a
    stretch holds several breakdowns, players stand before them or after them, as the stretch itself
    shows; a stretch of players alone goes on with the breakdown before it, or waits for the next.
    """
    parts = _told(_parts(line, points, habit, lexicon))
    made = Charged()
    for part in parts:
        _attach(part)
        _count(part)
    _carry(parts)
    _attach_loose(parts)
    _lend(parts)
    made.charges = _followed(_merged([one for part in parts for one in part.charges]))
    for part in parts:
        made.odd += _odd(part, lexicon)
    return made


def _told(parts: list[_Part]) -> list[_Part]:
    """Return the stretches that say anything; the first left of a sentence opens it."""
    kept: list[_Part] = []
    opens = False
    for part in parts:
        opens = opens or part.opens
        if part.pieces or part.words or part.meanings:
            part.opens, opens = opens, False
            kept.append(part)
    return kept


def _lend(parts: list[_Part]) -> None:
    """Charge who is named in one stretch of a sentence with the mistake that another stretch tells.

    ``17 retreats and retreats, never fakes at the ball``; what nobody did and what is praised is left.
    """
    if len(parts) < _PAIR or all(one.players for part in parts for one in part.charges):
        return
    sentence: list[_Part] = []
    for part in [*parts, _Part(opens=True)]:
        if part.opens and sentence:
            _lend_within(sentence)
            sentence = []
        sentence.append(part)


def _lend_within(parts: list[_Part]) -> None:
    loose = [at for at, part in enumerate(parts) if part.groups and not part.charges]
    if len(loose) != 1 or set(parts[loose[0]].meanings) & _WELL:
        return
    players = [jersey for group in parts[loose[0]].groups for jersey in group]
    if any(set(players) & set(one.players) for part in parts for one in part.charges):
        return
    bare = [
        (at, one)
        for at, part in enumerate(parts)
        for one in part.charges
        if not part.groups and not one.players and not one.nobodys and one.breakdown not in _OF_ALL
    ]
    after = [one for at, one in bare if at > loose[0]]
    before = [one for at, one in bare if at < loose[0]]
    for one in (after or before[-1:])[:1]:
        one.add(players)


def _followed(charges: list[Charge]) -> list[Charge]:
    """Drop what only tells how another mistake went on; a hand missing on a slip is the slip."""
    slip = next((one for one in charges if one.breakdown == "slipped-screen" and not one.players), None)
    hand = next((one for one in charges if one.breakdown == "no-contest" and not one.named), None)
    if slip is not None and hand is not None:
        slip.add(hand.players)
        charges = [one for one in charges if one is not hand]
    return [
        one
        for one in charges
        if one.named
        or not any(
            (other.breakdown, one.breakdown) in _FOLLOWS and set(one.players) <= set(other.players)
            for other in charges
        )
    ]


def _merged(charges: list[Charge]) -> list[Charge]:
    """Drop what a line only says again: a breakdown without players that stands with players too."""
    kept: list[Charge] = []
    for one in charges:
        others = [other for other in charges if other.breakdown == one.breakdown and other is not one]
        bare = not one.players and one.count == 1
        again = any(other.players or other.count > 1 for other in others) or any(o in kept for o in others)
        if not (bare and again):
            kept.append(one)
    return kept


def _parts(line: Sequence[Item], points: frozenset[int], habit: Habits, lexicon: Lexicon) -> list[_Part]:
    parts = [_Part(opens=True)]
    for at, one in enumerate(line):
        part = parts[-1]
        if at in points:
            continue
        if one.kind in ("jersey", "number") or (
            one.kind == "paren" and (habit.paren_players or bool(points))
        ):
            _player(part, one)
        elif one.kind != "break":
            _piece(part, one, lexicon)
        elif not _joins(line, at):
            parts.append(_Part(opens=one.text not in GOES_ON))
    return parts


def _piece(part: _Part, one: Item, lexicon: Lexicon) -> None:
    if one.kind == "breakdown":
        made = Charge(one.text, one.sure, named=one.value == NAMED, nobodys=one.value == NOBODYS)
        part.pieces.append(made)
    elif one.kind == "times":
        part.times.append((len(part.pieces), one.value))
    elif one.kind == "and":
        part.pieces.append("and")
    elif one.kind == "meaning":
        part.meanings.append(one.text)
        if one.text in ("praised", "clean"):
            part.pieces.append("praise" if one.text == "praised" else "well")
    elif one.kind == "word":
        part.words.append(one.text)
        if lexicon.within("linking", (one.text,)):
            part.pieces.append("link")
        elif one.text in _TOWARD:
            part.pieces.append("toward")


def _joins(line: Sequence[Item], at: int) -> bool:
    """Say whether a plus or slash stands between two players: ``7 + 15 no talk``."""
    if line[at].text not in ("+", "/") or not 0 < at < len(line) - 1:
        return False
    return all(one.kind in ("number", "jersey") for one in (line[at - 1], line[at + 1]))


def _player(part: _Part, one: Item) -> None:
    if len(one.text) > 2:
        part.words.append(f"#{one.text}")
        return
    last = part.pieces[-1] if part.pieces else None
    if _not_ours(part, last):
        return
    if isinstance(last, list):
        last.append(one.text)
    elif last == "and" and len(part.pieces) > 1 and isinstance(part.pieces[-2], list):
        part.pieces[-2].append(one.text)
        part.pieces[-1] = "joined"
        part.pieces.append(part.pieces.pop(-2))
    else:
        part.pieces.append([one.text])


def _not_ours(part: _Part, last: Charge | list[str] | str | None) -> bool:
    """Say whether a player is only praised, or is the one that a player of ours did something to."""
    towards = part.pieces[-2] if last == "toward" and len(part.pieces) > 1 else None
    if last == "praise" or towards in ("praise", "well"):
        return True
    shown = [one for one in part.pieces if not isinstance(one, str)]
    return isinstance(towards, Charge) and len(shown) > 1 and isinstance(shown[-2], list)


def _of_both(part: _Part) -> None:
    """Mark what is told of two who were named before."""
    if part.words and not part.groups and not _TWO.isdisjoint(part.words):
        for one in part.charges:
            one.both = True


def _attach(part: _Part) -> None:
    """Charge the players of a stretch to its breakdowns."""
    charges = part.charges
    _of_both(part)
    if part.pieces[1:2] == ["praise"] and isinstance(part.pieces[0], list) and len(part.groups) > 1:
        del part.pieces[0]
    if len(charges) == 1:
        for group in part.groups:
            charges[0].add(group)
        return
    if not charges:
        return
    shown = [one for one in part.pieces if not isinstance(one, str)]
    before = isinstance(shown[0], list) and not isinstance(shown[-1], list)
    for at, one in enumerate(shown):
        if isinstance(one, list):
            _give(part, shown, at, before=before)
    told = before or bool(_PRONOUNS & set(part.words))
    if told and len(part.groups) == 1 and "link" in part.pieces:
        for other in charges[1:]:
            other.add(part.groups[0])


def _give(part: _Part, shown: list[Charge | list[str]], at: int, *, before: bool) -> None:
    group = shown[at]
    last = shown[at - 1] if at else None
    after = shown[at + 1] if at + 1 < len(shown) else None
    assert isinstance(group, list)
    both = isinstance(last, Charge) and isinstance(after, Charge)
    alone = both and not (at + 2 < len(shown) and isinstance(shown[at + 2], list))
    follows_and = at > 0 and part.pieces[_place(part, group) - 1] == "and"
    if both and follows_and and alone:
        after.add(group)  # type: ignore[union-attr]
    elif both and not before and alone and len(group) == 2 and "joined" in part.pieces:
        last.add(group[:1])  # type: ignore[union-attr]
        after.add(group[1:])  # type: ignore[union-attr]
    elif isinstance(after, Charge) and (before or not isinstance(last, Charge)):
        after.add(group)
    elif isinstance(last, Charge):
        last.add(group)


def _place(part: _Part, group: list[str]) -> int:
    return next(at for at, piece in enumerate(part.pieces) if piece is group)


def _carry(parts: list[_Part]) -> None:
    """Give ``he`` and ``she`` at the start of a stretch the player named last before.

    So is a mistake named without a player right behind a stretch that says something else of one:
    ``15 on his heels, no pressure``.
    """
    last: list[str] = []
    waiting: list[str] = []
    for part in parts:
        if part.charges and not part.groups and last and _PRONOUNS & set(part.words[:_SUBJECT]):
            part.charges[0].add(last)
        elif waiting and _alone_on_ball(part):
            part.charges[0].add(waiting)
        told = part.groups and not part.charges and not part.meanings and set(part.words) - _BOTH
        waiting = part.groups[-1] if told else []
        last = part.groups[-1][-1:] if part.groups else last


def _alone_on_ball(part: _Part) -> bool:
    """Say whether a stretch opens with one mistake of one man and names nobody."""
    charges = part.charges
    return (
        len(charges) == 1
        and charges[0].breakdown in _ON_BALL
        and not part.groups
        and part.pieces[0] is charges[0]
    )


def _attach_loose(parts: list[_Part]) -> None:
    """Give stretches of players alone to the breakdown before, or to the next where players come first."""
    first = _players_first(parts)
    for at, part in enumerate(parts):
        let = (
            bool(_LET & set(part.words))
            and at > 0
            and bool(parts[at - 1].charges)
            and not parts[at - 1].groups
        )
        if part.charges or not part.groups or (set(part.words) - _BOTH and not let) or part.meanings:
            continue
        before = next((p.charges[-1] for p in reversed(parts[:at]) if p.charges), None)
        after = next((p.charges[0] for p in parts[at + 1 :] if p.charges), None)
        taker = (after or before) if first else (before or after)
        loose = [jersey for group in part.groups for jersey in group]
        if taker is None:
            part.words.append(f"player {loose[0]}")
        elif taker is after:
            after.players[:] = dict.fromkeys([*loose, *after.players])
        else:
            taker.add(loose)


def _players_first(parts: list[_Part]) -> bool:
    told = 0
    for part in parts:
        shown = [one for one in part.pieces if not isinstance(one, str)]
        if part.charges and part.groups:
            told += 1 if isinstance(shown[0], list) else -1
    opens = next((bool(part.groups) for part in parts if part.groups or part.charges), False)
    return told > 0 or (told == 0 and opens and not any(p.charges and p.groups for p in parts))


def _count(part: _Part) -> None:
    for at, times in part.times:
        before = [one for one in part.pieces[:at] if isinstance(one, Charge)]
        after = [one for one in part.pieces[at:] if isinstance(one, Charge)]
        taker = before[-1] if before else after[0] if after else None
        if taker is not None and 1 <= times <= 20:
            taker.count = times


def _odd(part: _Part, lexicon: Lexicon) -> list[str]:
    """Say what in a stretch may be a breakdown that was not understood."""
    said = " ".join(part.words)
    if "denied" in part.meanings:
        return ["a breakdown is named and denied in one breath"]
    if any(word.startswith("#") for word in part.words):
        return [f"no jersey {next(word for word in part.words if word.startswith('#'))[1:]}"]
    if part.charges or not part.words or {"praised", "clean", "stop", "neutral"} & set(part.meanings):
        return []
    if part.words[0].startswith("player "):
        return [f"what did {part.words[0]} do?"]
    if _near(part, lexicon):
        return [f"'{said}' is close to a breakdown but not sure enough"]
    canonical = {word.text for word in lexicon.canonical(part.words)}
    if any((word,) in lexicon.groups["topics"] for word in canonical) and not any(
        (word,) in lexicon.groups["praise"] for word in canonical
    ):
        return [f"'{said}': done or missed?"] if part.groups or len(part.words) <= _REMARK else []
    unknown = [word for word in part.words if word not in lexicon.known]
    coded = len(part.words) == 1 and len(part.words[0]) <= _CODE
    if unknown and len(part.words) <= _REMARK and (part.groups or coded):
        return [f"'{said}' is no breakdown we know"]
    return []


def _near(part: _Part, lexicon: Lexicon) -> bool:
    """Say whether a looser reading of misspelt words would make a breakdown."""
    if len(part.words) > _NEAR_WORDS:
        return False
    loose = []
    for word in part.words:
        near = lexicon.near(word, 2 if len(word) < 8 else 3)
        loose.append(near[0][0] if near else word)
    if loose == part.words:
        return False
    return any(spot.meaning.kind == "breakdown" for spot in lexicon.spots(loose))
