"""Aligns two films of one tooth; which changes exceed their uncertainty. Pure."""
