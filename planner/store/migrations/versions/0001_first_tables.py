"""The first tables."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from planner.store.spelling import Spelt, yes_or_no_text

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make every table."""
    _team()
    _film()
    _practice()


def downgrade() -> None:
    """Drop every table, children before parents."""
    for table in reversed(_TABLES):
        op.drop_table(table)


_TABLES = (
    "team",
    "player",
    "game",
    "gym_window",
    "fixed_block",
    "setting",
    "switched_off",
    "journal",
    "film_note",
    "intake",
    "possession",
    "unclear",
    "sighting",
    "sighting_player",
    "practice",
    "segment",
    "station",
    "drill_result",
    "emphasis",
    "progress",
)


def _team() -> None:
    op.create_table(
        "team",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("season_start", sa.Date(), nullable=True),
        sa.Column("season_end", sa.Date(), nullable=True),
        sa.Column("level", sa.String(), nullable=False),
        sa.CheckConstraint("length(name) > 0", name=op.f("ck_team_name")),
        sa.CheckConstraint("season_end >= season_start", name=op.f("ck_team_season")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_team")),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "player",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("team_id", sa.Integer(), nullable=False),
        sa.Column("jersey", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("position", sa.String(), nullable=False),
        sa.Column("active", sa.Boolean(), nullable=False),
        sa.CheckConstraint(yes_or_no_text("active"), name=op.f("ck_player_active")),
        sa.CheckConstraint("length(trim(jersey)) BETWEEN 1 AND 12", name=op.f("ck_player_jersey")),
        sa.ForeignKeyConstraint(
            ["team_id"], ["team.id"], name=op.f("fk_player_team_id_team"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_player")),
        sa.UniqueConstraint("team_id", "jersey", name=op.f("uq_player_team_id_jersey")),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "game",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("team_id", sa.Integer(), nullable=False),
        sa.Column("date", sa.Date(), nullable=False),
        sa.Column("opponent", sa.String(), nullable=False),
        sa.Column("venue", sa.String(), nullable=False),
        sa.Column("possessions", sa.Integer(), nullable=True),
        sa.Column("scouted", sa.Boolean(), nullable=False),
        sa.Column("chances", sa.JSON(), nullable=False),
        sa.CheckConstraint("venue IN ('', 'home', 'away', 'neutral')", name=op.f("ck_game_venue")),
        sa.CheckConstraint("possessions >= 0", name=op.f("ck_game_possessions")),
        sa.CheckConstraint(yes_or_no_text("scouted"), name=op.f("ck_game_scouted")),
        sa.ForeignKeyConstraint(
            ["team_id"], ["team.id"], name=op.f("fk_game_team_id_team"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_game")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_game_team_id_date"), "game", ["team_id", "date"])
    op.create_table(
        "gym_window",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("team_id", sa.Integer(), nullable=False),
        sa.Column("weekday", sa.Integer(), nullable=True),
        sa.Column("date", sa.Date(), nullable=True),
        sa.Column("rrule", sa.String(), nullable=True),
        sa.Column("first", sa.Date(), nullable=True),
        sa.Column("start", sa.Integer(), nullable=False),
        sa.Column("end", sa.Integer(), nullable=False),
        sa.Column("halves", sa.Integer(), nullable=False),
        sa.Column("note", sa.String(), nullable=False),
        sa.CheckConstraint(
            Spelt(
                "(weekday IS NOT NULL) + (date IS NOT NULL) + (rrule IS NOT NULL) = 1",
                "num_nonnulls(weekday, date, rrule) = 1",
            ),
            name=op.f("ck_gym_window_when"),
        ),
        sa.CheckConstraint("halves BETWEEN 0 AND 2", name=op.f("ck_gym_window_halves")),
        sa.CheckConstraint(
            'start BETWEEN 0 AND 1439 AND "end" > start AND "end" <= 2880', name=op.f("ck_gym_window_hours")
        ),
        sa.CheckConstraint("weekday BETWEEN 0 AND 6", name=op.f("ck_gym_window_weekday")),
        sa.ForeignKeyConstraint(
            ["team_id"], ["team.id"], name=op.f("fk_gym_window_team_id_team"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_gym_window")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_gym_window_team_id"), "gym_window", ["team_id"])
    op.create_table(
        "fixed_block",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("team_id", sa.Integer(), nullable=False),
        sa.Column("title", sa.String(), nullable=False),
        sa.Column("minutes", sa.Integer(), nullable=False),
        sa.Column("at_word", sa.String(), nullable=True),
        sa.Column("at_minute", sa.Integer(), nullable=True),
        sa.Column("effort", sa.Integer(), nullable=False),
        sa.Column("halves", sa.Integer(), nullable=False),
        sa.Column("shares", sa.JSON(), nullable=False),
        sa.Column("weekday", sa.Integer(), nullable=True),
        sa.CheckConstraint(
            "at_word IN ('first', 'last') AND at_minute IS NULL OR at_word IS NULL AND at_minute >= 0",
            name=op.f("ck_fixed_block_at"),
        ),
        sa.CheckConstraint("effort BETWEEN 0 AND 10", name=op.f("ck_fixed_block_effort")),
        sa.CheckConstraint("halves BETWEEN 0 AND 2", name=op.f("ck_fixed_block_halves")),
        sa.CheckConstraint("length(title) > 0", name=op.f("ck_fixed_block_title")),
        sa.CheckConstraint("minutes > 0", name=op.f("ck_fixed_block_minutes")),
        sa.CheckConstraint("weekday BETWEEN 0 AND 6", name=op.f("ck_fixed_block_weekday")),
        sa.ForeignKeyConstraint(
            ["team_id"], ["team.id"], name=op.f("fk_fixed_block_team_id_team"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_fixed_block")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_fixed_block_team_id"), "fixed_block", ["team_id"])
    op.create_table(
        "setting",
        sa.Column("team_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("value", sa.JSON(), nullable=False),
        sa.CheckConstraint("length(key) > 0", name=op.f("ck_setting_key")),
        sa.ForeignKeyConstraint(
            ["team_id"], ["team.id"], name=op.f("fk_setting_team_id_team"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("team_id", "key", name=op.f("pk_setting")),
    )
    op.create_table(
        "switched_off",
        sa.Column("team_id", sa.Integer(), nullable=False),
        sa.Column("breakdown", sa.String(), nullable=False),
        sa.CheckConstraint("length(breakdown) > 0", name=op.f("ck_switched_off_breakdown")),
        sa.ForeignKeyConstraint(
            ["team_id"], ["team.id"], name=op.f("fk_switched_off_team_id_team"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("team_id", "breakdown", name=op.f("pk_switched_off")),
    )
    op.create_table(
        "journal",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("team_id", sa.Integer(), nullable=False),
        sa.Column("stamp", sa.DateTime(timezone=True), nullable=False),
        sa.Column("verb", sa.String(), nullable=False),
        sa.Column("words", sa.String(), nullable=False),
        sa.Column("payload", sa.JSON(), nullable=False),
        sa.Column("undone", sa.Boolean(), nullable=False),
        sa.CheckConstraint("length(verb) > 0", name=op.f("ck_journal_verb")),
        sa.CheckConstraint(yes_or_no_text("undone"), name=op.f("ck_journal_undone")),
        sa.ForeignKeyConstraint(
            ["team_id"], ["team.id"], name=op.f("fk_journal_team_id_team"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_journal")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_journal_team_id_undone"), "journal", ["team_id", "undone"])


def _film() -> None:
    op.create_table(
        "film_note",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("team_id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("digest", sa.String(), nullable=False),
        sa.Column("size", sa.Integer(), nullable=False),
        sa.Column("packed", sa.Boolean(), nullable=False),
        sa.Column("raw", sa.LargeBinary(), nullable=False),
        sa.CheckConstraint("kind IN ('sheet', 'table', 'captions')", name=op.f("ck_film_note_kind")),
        sa.CheckConstraint("length(digest) = 64", name=op.f("ck_film_note_digest")),
        sa.CheckConstraint(yes_or_no_text("packed"), name=op.f("ck_film_note_packed")),
        sa.CheckConstraint("size >= 0", name=op.f("ck_film_note_size")),
        sa.ForeignKeyConstraint(
            ["team_id"], ["team.id"], name=op.f("fk_film_note_team_id_team"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_film_note")),
        sa.UniqueConstraint("team_id", "digest", name=op.f("uq_film_note_team_id_digest")),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "intake",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("film_note_id", sa.Integer(), nullable=False),
        sa.Column("game_id", sa.Integer(), nullable=False),
        sa.Column("stamp", sa.DateTime(timezone=True), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("possessions", sa.Integer(), nullable=True),
        sa.Column("problems", sa.JSON(), nullable=False),
        sa.Column("heading", sa.JSON(), nullable=False),
        sa.Column("undone", sa.Boolean(), nullable=False),
        sa.CheckConstraint("possessions >= 0", name=op.f("ck_intake_possessions")),
        sa.CheckConstraint(yes_or_no_text("undone"), name=op.f("ck_intake_undone")),
        sa.ForeignKeyConstraint(
            ["film_note_id"],
            ["film_note.id"],
            name=op.f("fk_intake_film_note_id_film_note"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(["game_id"], ["game.id"], name=op.f("fk_intake_game_id_game")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_intake")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_intake_film_note_id"), "intake", ["film_note_id"])
    op.create_index(op.f("ix_intake_game_id"), "intake", ["game_id"])
    op.create_index(
        "uq_intake_film_note_id_live",
        "intake",
        ["film_note_id"],
        unique=True,
        sqlite_where=sa.text("undone = 0"),
        postgresql_where=sa.text("NOT undone"),
    )
    op.create_table(
        "possession",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("intake_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("period", sa.String(), nullable=True),
        sa.Column("clock", sa.String(), nullable=True),
        sa.Column("points", sa.Integer(), nullable=True),
        sa.Column("line", sa.Integer(), nullable=True),
        sa.CheckConstraint("number >= 1", name=op.f("ck_possession_number")),
        sa.CheckConstraint("points >= 0", name=op.f("ck_possession_points")),
        sa.ForeignKeyConstraint(
            ["intake_id"], ["intake.id"], name=op.f("fk_possession_intake_id_intake"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_possession")),
        sa.UniqueConstraint("intake_id", "number", name=op.f("uq_possession_intake_id_number")),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "unclear",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("intake_id", sa.Integer(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.Column("why", sa.String(), nullable=False),
        sa.Column("line", sa.Integer(), nullable=True),
        sa.Column("start", sa.String(), nullable=True),
        sa.Column("sorted_as", sa.String(), nullable=True),
        sa.CheckConstraint("length(sorted_as) > 0", name=op.f("ck_unclear_sorted_as")),
        sa.ForeignKeyConstraint(
            ["intake_id"], ["intake.id"], name=op.f("fk_unclear_intake_id_intake"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_unclear")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_unclear_intake_id"), "unclear", ["intake_id"])
    op.create_table(
        "sighting",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("intake_id", sa.Integer(), nullable=False),
        sa.Column("unclear_id", sa.Integer(), nullable=True),
        sa.Column("breakdown", sa.String(), nullable=False),
        sa.Column("line", sa.Integer(), nullable=True),
        sa.Column("start", sa.String(), nullable=True),
        sa.Column("end", sa.String(), nullable=True),
        sa.Column("points", sa.Integer(), nullable=True),
        sa.Column("seen", sa.Integer(), nullable=False),
        sa.Column("sure", sa.Float(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.Column("possession", sa.Integer(), nullable=True),
        sa.CheckConstraint("length(breakdown) > 0", name=op.f("ck_sighting_breakdown")),
        sa.CheckConstraint("points >= 0", name=op.f("ck_sighting_points")),
        sa.CheckConstraint("seen >= 1", name=op.f("ck_sighting_seen")),
        sa.CheckConstraint("sure BETWEEN 0 AND 1", name=op.f("ck_sighting_sure")),
        sa.ForeignKeyConstraint(
            ["intake_id"], ["intake.id"], name=op.f("fk_sighting_intake_id_intake"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["unclear_id"], ["unclear.id"], name=op.f("fk_sighting_unclear_id_unclear"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sighting")),
        sa.UniqueConstraint("unclear_id", name=op.f("uq_sighting_unclear_id")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_sighting_intake_id"), "sighting", ["intake_id"])
    op.create_table(
        "sighting_player",
        sa.Column("sighting_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("jersey", sa.String(), nullable=False),
        sa.CheckConstraint("length(jersey) > 0", name=op.f("ck_sighting_player_jersey")),
        sa.ForeignKeyConstraint(
            ["sighting_id"],
            ["sighting.id"],
            name=op.f("fk_sighting_player_sighting_id_sighting"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("sighting_id", "position", name=op.f("pk_sighting_player")),
    )


def _practice() -> None:
    op.create_table(
        "practice",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("team_id", sa.Integer(), nullable=False),
        sa.Column("date", sa.Date(), nullable=False),
        sa.Column("start", sa.Integer(), nullable=False),
        sa.Column("minutes", sa.Integer(), nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("saved", sa.Integer(), nullable=False),
        sa.Column("objective", sa.Float(), nullable=True),
        sa.Column("bound", sa.Float(), nullable=True),
        sa.Column("proven", sa.Boolean(), nullable=True),
        sa.Column("took", sa.Float(), nullable=True),
        sa.Column("load", sa.Float(), nullable=True),
        sa.Column("warnings", sa.JSON(), nullable=False),
        sa.Column("left_out", sa.JSON(), nullable=False),
        sa.Column("brief", sa.JSON(), nullable=False),
        sa.Column("began", sa.Integer(), nullable=True),
        sa.Column("rating", sa.Integer(), nullable=True),
        sa.Column("absent", sa.JSON(), nullable=False),
        sa.CheckConstraint(
            Spelt(
                "(began IS NOT NULL) = (state = 'done') AND ifnull(began, 0) BETWEEN 0 AND 1439",
                "(began IS NOT NULL) = (state = 'done') AND coalesce(began, 0) BETWEEN 0 AND 1439",
            ),
            name=op.f("ck_practice_began"),
        ),
        sa.CheckConstraint("state = 'done' OR objective IS NOT NULL", name=op.f("ck_practice_planned")),
        sa.CheckConstraint("state IN ('planned', 'done')", name=op.f("ck_practice_state")),
        sa.CheckConstraint(
            "(objective IS NULL) = (bound IS NULL) AND "
            "(objective IS NULL) = (proven IS NULL) AND (objective IS NULL) = (took IS NULL)",
            name=op.f("ck_practice_plan"),
        ),
        sa.CheckConstraint("minutes > 0", name=op.f("ck_practice_minutes")),
        sa.CheckConstraint(yes_or_no_text("proven"), name=op.f("ck_practice_proven")),
        sa.CheckConstraint("rating BETWEEN 0 AND 10", name=op.f("ck_practice_rating")),
        sa.CheckConstraint("start BETWEEN 0 AND 1439", name=op.f("ck_practice_start")),
        sa.CheckConstraint("took >= 0", name=op.f("ck_practice_took")),
        sa.ForeignKeyConstraint(
            ["team_id"], ["team.id"], name=op.f("fk_practice_team_id_team"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_practice")),
        sa.UniqueConstraint("team_id", "date", "start", name=op.f("uq_practice_team_id_date_start")),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "segment",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("practice_id", sa.Integer(), nullable=False),
        sa.Column("side", sa.String(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("start", sa.Integer(), nullable=True),
        sa.Column("seconds", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("title", sa.String(), nullable=False),
        sa.Column("drill", sa.String(), nullable=True),
        sa.Column("stage", sa.String(), nullable=True),
        sa.Column("shares", sa.JSON(), nullable=False),
        sa.Column("why", sa.String(), nullable=False),
        sa.Column("effort", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            Spelt(
                "(start IS NOT NULL) = (side = 'planned') AND ifnull(start, 0) >= 0",
                "(start IS NOT NULL) = (side = 'planned') AND coalesce(start, 0) >= 0",
            ),
            name=op.f("ck_segment_start"),
        ),
        sa.CheckConstraint(
            "kind IN ('drill', 'warm-up', 'water', 'fixed', 'set-up', 'cool-down')",
            name=op.f("ck_segment_kind"),
        ),
        sa.CheckConstraint("seconds > 0 OR side = 'done' AND seconds = 0", name=op.f("ck_segment_seconds")),
        sa.CheckConstraint("side = 'done' OR seconds % 60 = 0", name=op.f("ck_segment_whole_minutes")),
        sa.CheckConstraint("side IN ('planned', 'done')", name=op.f("ck_segment_side")),
        sa.CheckConstraint("effort BETWEEN 0 AND 10", name=op.f("ck_segment_effort")),
        sa.ForeignKeyConstraint(
            ["practice_id"], ["practice.id"], name=op.f("fk_segment_practice_id_practice"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_segment")),
        sa.UniqueConstraint(
            "practice_id", "side", "position", name=op.f("uq_segment_practice_id_side_position")
        ),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "station",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("segment_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("drill", sa.String(), nullable=False),
        sa.Column("group", sa.String(), nullable=False),
        sa.Column("half", sa.String(), nullable=False),
        sa.Column("players", sa.JSON(), nullable=False),
        sa.CheckConstraint("half IN ('A', 'B', 'full')", name=op.f("ck_station_half")),
        sa.ForeignKeyConstraint(
            ["segment_id"], ["segment.id"], name=op.f("fk_station_segment_id_segment"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_station")),
        sa.UniqueConstraint("segment_id", "position", name=op.f("uq_station_segment_id_position")),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "drill_result",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("segment_id", sa.Integer(), nullable=False),
        sa.Column("drill", sa.String(), nullable=True),
        sa.Column("stops", sa.Integer(), nullable=True),
        sa.Column("tries", sa.Integer(), nullable=True),
        sa.CheckConstraint("stops <= tries", name=op.f("ck_drill_result_within")),
        sa.CheckConstraint("stops >= 0", name=op.f("ck_drill_result_stops")),
        sa.CheckConstraint("tries >= 0", name=op.f("ck_drill_result_tries")),
        sa.ForeignKeyConstraint(
            ["segment_id"],
            ["segment.id"],
            name=op.f("fk_drill_result_segment_id_segment"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_drill_result")),
        sa.UniqueConstraint("segment_id", name=op.f("uq_drill_result_segment_id")),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "emphasis",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("team_id", sa.Integer(), nullable=False),
        sa.Column("principle", sa.String(), nullable=False),
        sa.Column("factor", sa.Float(), nullable=False),
        sa.Column("since", sa.Date(), nullable=False),
        sa.CheckConstraint("factor >= 0", name=op.f("ck_emphasis_factor")),
        sa.CheckConstraint("length(principle) > 0", name=op.f("ck_emphasis_principle")),
        sa.ForeignKeyConstraint(
            ["team_id"], ["team.id"], name=op.f("fk_emphasis_team_id_team"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_emphasis")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_emphasis_team_id_since"), "emphasis", ["team_id", "since"])
    op.create_table(
        "progress",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("team_id", sa.Integer(), nullable=False),
        sa.Column("principle", sa.String(), nullable=False),
        sa.Column("stage", sa.String(), nullable=True),
        sa.Column("date", sa.Date(), nullable=False),
        sa.Column("how", sa.String(), nullable=False),
        sa.CheckConstraint(
            "stage IN ('walk', 'guided', 'contested', 'live')", name=op.f("ck_progress_stage")
        ),
        sa.CheckConstraint("length(principle) > 0", name=op.f("ck_progress_principle")),
        sa.ForeignKeyConstraint(
            ["team_id"], ["team.id"], name=op.f("fk_progress_team_id_team"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_progress")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_progress_team_id_date"), "progress", ["team_id", "date"])
