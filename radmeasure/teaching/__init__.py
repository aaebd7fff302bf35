"""Lessons on synthetic films, marking, observer statistics."""
