"""Words for what is missing."""

from django import template

from restoration.commissioning import readiness

register = template.Library()
register.filter("acts_in_words", readiness.acts_in_words)
