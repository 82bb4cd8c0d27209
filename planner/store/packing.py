"""Plans and practices done as JSON can hold them, so that undoing restores the very same."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Mapping
from typing import Any

from planner.build.plan import LeftOut, Plan, Segment, Station
from planner.season.record import DonePractice, DoneSegment


def pack_plan(plan: Plan) -> dict[str, Any]:
    """Return a plan as a dictionary for JSON, from which ``unpack_plan`` makes an equal one."""
    return _packed(plan)


def unpack_plan(packed: Mapping[str, Any]) -> Plan:
    """Return the plan that ``pack_plan`` packed."""
    said = dict(packed)
    said["date"] = dt.date.fromisoformat(said["date"])
    said["segments"] = tuple(unpack_segment(one) for one in said["segments"])
    said["left_out"] = tuple(LeftOut(**one) for one in said["left_out"])
    said["warnings"] = tuple(said["warnings"])
    return Plan(**said)


def pack_done(done: DonePractice) -> dict[str, Any]:
    """Return a practice done as a dictionary for JSON, from which ``unpack_done`` makes an equal one."""
    return _packed(done)


def unpack_done(packed: Mapping[str, Any]) -> DonePractice:
    """Return the practice that ``pack_done`` packed."""
    said = dict(packed)
    said["date"] = dt.date.fromisoformat(said["date"])
    said["segments"] = tuple(DoneSegment(**one) for one in said["segments"])
    said["absent"] = tuple(said["absent"])
    return DonePractice(**said)


def _packed(value: Plan | DonePractice) -> dict[str, Any]:
    packed = {one.name: getattr(value, one.name) for one in dataclasses.fields(value)}
    packed["date"] = value.date.isoformat()
    packed["segments"] = [_plain(one) for one in value.segments]
    if isinstance(value, Plan):
        packed["left_out"] = [_plain(one) for one in value.left_out]
        packed["warnings"] = list(value.warnings)
    else:
        packed["absent"] = list(value.absent)
    return packed


def _plain(value: Any) -> Any:
    """Return a value with dataclasses and mappings as dictionaries and tuples as lists."""
    if dataclasses.is_dataclass(value):
        return {one.name: _plain(getattr(value, one.name)) for one in dataclasses.fields(value)}
    if isinstance(value, Mapping):
        return {key: _plain(one) for key, one in value.items()}
    if isinstance(value, tuple | list):
        return [_plain(one) for one in value]
    return value


def pack_segment(segment: Segment) -> dict[str, Any]:
    """Return a planned segment as a dictionary for JSON, from which ``unpack_segment`` makes an equal one."""
    packed: dict[str, Any] = _plain(segment)
    return packed


def unpack_segment(packed: Mapping[str, Any]) -> Segment:
    """Return the segment that ``pack_segment`` packed."""
    said = dict(packed)
    stations = [dict(one) for one in said["stations"]]
    said["stations"] = tuple(Station(**{**one, "players": tuple(one["players"])}) for one in stations)
    return Segment(**said)
