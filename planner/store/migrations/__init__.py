"""Migrations of the store, run by planner.store.migrate."""
