"""The data without anything that says whose they are: counts, minutes and ids stay, words go.

What is kept is named here, column by column; every other text is left out. Jersey numbers stay (a jersey of
letters may be a nickname and becomes P1, P2, ...), opponents become Opponent 1, 2, ..., and all dates can be
moved by whole weeks, so that weekdays stay.
"""

from __future__ import annotations

import base64
import datetime as dt
import hashlib
import json
import re
from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from planner import data
from planner.desk.exporting import Everything
from planner.problem import Refusal

if TYPE_CHECKING:
    from planner.desk.desk import Desk

Row = dict[str, Any]

POSITIONS = frozenset({"guard", "wing", "big", "forward", "centre", "center", "point guard"})
_CHARGED = "player "
_SORTED = frozenset({"nothing", "not-ours", "not-a-mistake"})
_MOMENT = re.compile(r"[0-9:.]{1,15}")
_PERIOD = re.compile(r"(?:Q|OT|H|P)?[0-9]{1,2}|OT")
_JERSEY = re.compile(r"[0-9]{1,3}")
_RULE = re.compile(r"(?:FREQ=[A-Z]+|INTERVAL=[0-9]+|COUNT=[0-9]+|WKST=[A-Z]{2}|BYDAY=[-+0-9A-Z,]+)")
_UNTIL = re.compile(r"UNTIL=([0-9]{4})([0-9]{2})([0-9]{2})(T[0-9]{6}Z?)?")


def without_names(desk: Desk, found: Everything, weeks: int = 0) -> Everything:
    """Return the data anonymised and moved by whole weeks; the team's own files are left out.

    Raises:
        Refusal: a date would leave the calendar.

    """
    masks = _Masks(desk, weeks)
    tables = {
        table: [masks.row(table, dict(row)) for row in rows]
        for table, rows in found.plain.tables.items()
        if table != "journal"
    }
    tables = {table: [one for one in rows if one] for table, rows in tables.items()}
    plain = replace(found.plain, tables=dict(sorted({**tables, "journal": []}.items())))
    return Everything(plain, None, anonymous=True)


class _Masks:
    """Replaces what a row says, the same word always by the same mask."""

    def __init__(self, desk: Desk, weeks: int) -> None:
        from planner.desk.words import coverages, vocabulary

        words = vocabulary(desk)
        self.move = dt.timedelta(weeks=weeks)
        self.principles = frozenset(words.principle_by_id)
        self.breakdowns = frozenset(words.breakdown_by_id)
        self.coverages = frozenset(one.id for one in coverages(desk))
        self.shipped = frozenset(one.stem for one in (data.drill_library() / "drills").glob("*.toml"))
        self.masks: dict[tuple[str, str], str] = {}

    def mask(self, kind: str, word: str) -> str:
        known = [one for one in self.masks if one[0] == kind]
        return self.masks.setdefault((kind, word), f"{kind}{len(known) + 1}")

    def row(self, table: str, row: Row) -> Row:
        made = self.dated(row)
        change: Callable[[Row], Row] | None = getattr(self, f"_{table}", None)
        return change(made) if change else made

    def dated(self, row: Row) -> Row:
        days = ("date", "first", "since", "season_start", "season_end")
        made = {key: self.day(value) if key in days else value for key, value in row.items()}
        if "stamp" in made:
            made["stamp"] = f"{self.day(str(made['stamp'])[:10])} 12:00:00.000000"
        return made

    def day(self, text: str | None) -> str | None:
        if text is None:
            return None
        try:
            return (dt.date.fromisoformat(text) + self.move).isoformat()
        except (OverflowError, ValueError):
            raise Refusal("A date cannot be moved that far; name fewer weeks.") from None

    def jersey(self, text: str) -> str:
        return text if _JERSEY.fullmatch(text) else self.mask("P", text)

    def drill(self, text: str | None) -> str | None:
        return text if text is None or text in self.shipped else self.mask("own-", text)

    def breakdown(self, text: str) -> str:
        return text if text in self.breakdowns else self.mask("breakdown-", text)

    def principle(self, text: str) -> str:
        return text if text in self.principles else self.mask("principle-", text)

    def shares(self, packed: Any) -> str:
        return _json({self.principle(key): share for key, share in _loaded(packed, dict).items()})

    def jerseys(self, packed: Any) -> str:
        return _json([self.jersey(str(one)) for one in _loaded(packed, list)])

    # One method per table that holds words; the others hold numbers and ids alone.

    def _team(self, row: Row) -> Row:
        return {**row, "name": f"Team {row['id']}", "level": ""}

    def _player(self, row: Row) -> Row:
        position = row["position"] if row["position"] in POSITIONS else ""
        return {**row, "name": "", "jersey": self.jersey(row["jersey"]), "position": position}

    def _game(self, row: Row) -> Row:
        who = self.mask("Opponent ", row["opponent"].casefold()) if row["opponent"] else ""
        chances = {self.breakdown(key): one for key, one in _loaded(row["chances"], dict).items()}
        return {**row, "opponent": who, "chances": _json(chances)}

    def _gym_window(self, row: Row) -> Row:
        return {**row, "note": "", "rrule": self.rule(row["rrule"])}

    def rule(self, text: str | None) -> str | None:
        if text is None:
            return None
        kept = []
        for part in text.removeprefix("RRULE:").split(";"):
            until = _UNTIL.fullmatch(part)
            if until:
                day = str(self.day("-".join(until.group(1, 2, 3)))).replace("-", "")
                kept.append(f"UNTIL={day}{until[4] or ''}")
            elif _RULE.fullmatch(part):
                kept.append(part)
        return ";".join(kept)

    def _fixed_block(self, row: Row) -> Row:
        return {**row, "title": f"Block {row['id']}", "shares": self.shares(row["shares"])}

    def _setting(self, row: Row) -> Row:
        from planner.desk.team import SETTINGS, TEXT_SETTINGS

        key, value = row["key"], _loaded(row["value"], object)
        if key in SETTINGS and isinstance(value, int | float):
            return row
        if key == "court" and value in TEXT_SETTINGS["court"][0]:
            return row
        if key == "coverages" and isinstance(value, list):
            return {**row, "value": _json([one for one in value if one in self.coverages])}
        return {}

    def _switched_off(self, row: Row) -> Row:
        return {**row, "breakdown": self.breakdown(row["breakdown"])}

    def _film_note(self, row: Row) -> Row:
        raw = f"note {row['id']}".encode()
        said = {"name": f"note {row['id']}", "packed": 0, "size": len(raw)}
        digest = hashlib.sha256(raw).hexdigest()
        return {**row, **said, "digest": digest, "raw": base64.b64encode(raw).decode("ascii")}

    def _intake(self, row: Row) -> Row:
        heading = _json({"date": None, "opponent": None, "venue": None})
        return {**row, "name": f"note {row['film_note_id']}", "problems": "[]", "heading": heading}

    def _possession(self, row: Row) -> Row:
        period = row["period"] if _PERIOD.fullmatch(row["period"] or "") else None
        return {**row, "period": period, "clock": _moment(row["clock"])}

    def _unclear(self, row: Row) -> Row:
        meant = row["sorted_as"]
        if meant is not None and meant.startswith(_CHARGED):
            worn = meant.removeprefix(_CHARGED).split()
            meant = _CHARGED + " ".join(self.jersey(one) for one in worn)
        elif meant is not None and meant not in _SORTED:
            meant = self.breakdown(meant)
        return {
            **row,
            "text": f"line {row['id']}",
            "why": "",
            "sorted_as": meant,
            "start": _moment(row["start"]),
        }

    def _sighting(self, row: Row) -> Row:
        times = {key: _moment(row[key]) for key in ("start", "end")}
        return {**row, **times, "text": "", "breakdown": self.breakdown(row["breakdown"])}

    def _sighting_player(self, row: Row) -> Row:
        return {**row, "jersey": self.jersey(row["jersey"])}

    def _practice(self, row: Row) -> Row:
        left_out = [[self.drill(str(one[0])), ""] for one in _loaded(row["left_out"], list)]
        said = {"warnings": "[]", "brief": "{}", "left_out": _json(left_out)}
        return {**row, **said, "absent": self.jerseys(row["absent"])}

    def _segment(self, row: Row) -> Row:
        stage = row["stage"] if row["stage"] in {"walk", "guided", "contested", "live"} else None
        said = {"title": row["kind"], "why": "", "stage": stage}
        return {**row, **said, "drill": self.drill(row["drill"]), "shares": self.shares(row["shares"])}

    def _station(self, row: Row) -> Row:
        group = f"Group {row['position'] + 1}"
        return {
            **row,
            "drill": self.drill(row["drill"]),
            "group": group,
            "players": self.jerseys(row["players"]),
        }

    def _drill_result(self, row: Row) -> Row:
        return {**row, "drill": self.drill(row["drill"])}

    def _emphasis(self, row: Row) -> Row:
        return {**row, "principle": self.principle(row["principle"])}

    def _progress(self, row: Row) -> Row:
        return {**row, "principle": self.principle(row["principle"]), "how": ""}


def _moment(text: str | None) -> str | None:
    return text if _MOMENT.fullmatch(text or "") else None


def _json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))


def _loaded(value: Any, kind: type) -> Any:
    """Return what a JSON column holds; a number stands in it as itself."""
    found = json.loads(value) if isinstance(value, str) else value
    return found if isinstance(found, kind) else kind()
