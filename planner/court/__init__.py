"""Rulebook courts and drill diagrams: data in, drawings out."""
