"""Figures of a coil in words, for its card."""

from django import template

from restoration.engineering.plots import format_part
from restoration.workshop.coils.reckoning import length_words

register = template.Library()

register.filter("as_length", length_words)
register.filter("as_part", format_part)
