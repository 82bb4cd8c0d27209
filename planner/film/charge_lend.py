"""Players of one stretch of a line charged with what another stretch tells: ``17 retreats, never fakes``."""

from __future__ import annotations

from collections.abc import Sequence

from planner.film.charge_parts import PRONOUNS, Part

_SUBJECT = 4
"""Words of a stretch among which its subject stands."""
_ON_BALL = frozenset(
    {"no-pressure", "blown-by", "gave-middle", "died-on-screen", "no-contest", "late-closeout"}
    | {"over-commit", "no-bluff", "slow-recover", "stuck-on-tag", "fly-by", "left-feet"}
)
"""Mistakes of one man that a stretch right behind him can tell without naming him."""
OF_ALL = frozenset({"no-talk"})
"""What is told of nobody in particular unless somebody is named with it."""
_NOT_ONES = OF_ALL | {"unmatched", "no-rotation"}
_WELL = frozenset({"praised", "clean", "stop"})
_BACK = frozenset({"that", "thats", "it", "its", "this", "should", "put", "charge", "blame", "call"})
"""Words that say of what stands before whose it was."""
_AFTER_WELL = frozenset({"slow-recover", "stuck-on-tag", "no-pursuit"})
"""Mistakes that follow what the same man did well: ``44 hedged ok, slow recovering``."""
_HELPED = frozenset(
    {"help", "helps", "helped", "helping", "rotates", "rotated", "slides", "slid", "steps", "stepped"}
)
"""What a player does behind whom nobody rotates."""
_PAIR = 2
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
    | {
        "put",
        "down",
        "charge",
        "blame",
        "should",
        "be",
        "been",
        "have",
        "had",
        "job",
        "duty",
        "turn",
        "guilty",
    }
    | {
        "tag",
        "tagger",
        "bump",
        "rotation",
        "responsibility",
        "supposed",
        "to",
        "do",
        "for",
        "together",
        "whose",
    }
    | {
        "number",
        "numbers",
        "one",
        "i",
        "id",
        "call",
        "say",
        "think",
        "probably",
        "goes",
        "culprit",
        "mine",
        "would",
        "of",
        "them",
    }
    | {"the", "this", "was", "were", "are", "thats", "him", "her", "girl", "she", "he", "who", "pair"}
)


def carry(parts: list[Part]) -> None:
    """Give ``he`` and ``she`` at the start of a stretch the player named last before.

    So is a mistake named without a player right behind a stretch that says something else of one:
    ``15 on his heels, no pressure``.
    """
    last: list[str] = []
    waiting: list[str] = []
    good: list[str] = []
    for part in parts:
        if part.charges and not part.groups and last and PRONOUNS & set(part.words[:_SUBJECT]):
            part.charges[0].add(last)
        elif waiting and _alone_on_ball(part):
            part.charges[0].add(waiting)
        elif len(good) == 1 and part.charges and not part.groups and part.charges[0].breakdown in _AFTER_WELL:
            part.charges[0].add(good)
        if part.groups or part.charges:
            good = part.groups[-1] if part.groups and not part.charges else []
        told = part.groups and not part.charges and not part.meanings and set(part.words) - _BOTH
        waiting = part.groups[-1] if told else []
        last = part.groups[-1][-1:] if part.groups else last


def _alone_on_ball(part: Part) -> bool:
    """Say whether a stretch opens with one mistake of one man and names nobody."""
    charges = part.charges
    return (
        len(charges) == 1
        and charges[0].breakdown in _ON_BALL
        and not part.groups
        and part.pieces[0] is charges[0]
    )


def attach_loose(parts: list[Part]) -> None:
    """Give stretches of players alone to the breakdown before, or to the next where players come first."""
    first = _players_first(parts)
    for at, part in enumerate(parts):
        let = (
            bool(_LET & set(part.words))
            and at > 0
            and bool(parts[at - 1].charges)
            and not parts[at - 1].groups
        )
        laid = part.meanings == ["stop"] and {"that", "this", "it"} & set(part.words) and "to" in part.words
        if (
            part.charges
            or not part.groups
            or (set(part.words) - _BOTH and not let)
            or (part.meanings and not laid)
        ):
            continue
        before = next((p.charges[-1] for p in reversed(parts[:at]) if p.charges), None)
        after = next((p.charges[0] for p in parts[at + 1 :] if p.charges), None)
        points_back = bool(_BACK & set(part.words))
        taker = (after or before) if first and not points_back else (before or after)
        loose = [jersey for group in part.groups for jersey in group]
        if taker is None:
            part.words.append(f"player {loose[0]}")
        elif taker is after:
            after.players[:] = dict.fromkeys([*loose, *after.players])
        else:
            taker.add(loose)


def _players_first(parts: list[Part]) -> bool:
    told = 0
    for part in parts:
        shown = [one for one in part.pieces if not isinstance(one, str)]
        if part.charges and part.groups:
            told += 1 if isinstance(shown[0], list) else -1
    opens = next((bool(part.groups) for part in parts if part.groups or part.charges), False)
    return told > 0 or (told == 0 and opens and not any(p.charges and p.groups for p in parts))


def lend(parts: list[Part]) -> None:
    """Charge who is named in one stretch of a sentence with the mistake that another stretch tells.

    ``17 retreats and retreats, never fakes at the ball``; what nobody did and what is praised is left.
    """
    if len(parts) < _PAIR or all(one.players for part in parts for one in part.charges):
        return
    sentence: list[Part] = []
    for part in [*parts, Part(opens=True)]:
        if part.opens and sentence:
            _lend_within(sentence)
            sentence = []
        sentence.append(part)
    _only_one(parts)


def _only_one(parts: list[Part]) -> None:
    """Charge the one player whom a line names with what it tells, where it charges nobody else."""
    named = {jersey for part in parts for group in part.groups for jersey in group}
    charges = [one for part in parts for one in part.charges]
    if len(named) != 1 or any(one.players for one in charges):
        return
    if any(part.groups and _done_well(parts, at) for at, part in enumerate(parts)):
        return
    for one in charges:
        if not one.nobodys and one.breakdown not in _NOT_ONES:
            one.add(sorted(named))


def _lend_within(parts: list[Part]) -> None:
    loose = [at for at, part in enumerate(parts) if part.groups and not part.charges]
    if len(loose) != 1 or _done_well(parts, loose[0]):
        return
    players = [jersey for group in parts[loose[0]].groups for jersey in group]
    if any(set(players) & set(one.players) for part in parts for one in part.charges):
        return
    bare = [
        (at, one)
        for at, part in enumerate(parts)
        for one in part.charges
        if not part.groups and not one.players and not one.nobodys and one.breakdown not in OF_ALL
    ]
    if helping(parts[loose[0]].words):
        bare = [(at, one) for at, one in bare if one.breakdown != "no-rotation"]
    after = [one for at, one in bare if at > loose[0]]
    before = [one for at, one in bare if at < loose[0]]
    for one in (after or before[-1:])[:1]:
        one.add(players)


def helping(said: Sequence[str]) -> bool:
    """Say whether words tell that somebody came to help."""
    return bool(_HELPED & set(said)) or bool({"came", "comes"} & set(said) and {"over", "across"} & set(said))


def _done_well(parts: list[Part], at: int) -> bool:
    """Say whether a stretch is praise, or only praise stands behind it: ``28 helps (nice)``."""
    behind = parts[at + 1] if at + 1 < len(parts) else None
    only_praise = behind is not None and not (behind.groups or behind.charges or behind.words)
    said = [*parts[at].meanings, *(behind.meanings if behind is not None and only_praise else ())]
    return bool(set(said) & _WELL)
