"""SQLite through SQLModel: tables, queries, migrations, backup."""
