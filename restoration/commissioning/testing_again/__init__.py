"""What to test again: which doubts are asked about, the walk that answers them, and its printed sheet."""

from restoration.commissioning.testing_again.asking import Question, ask, walk_for

__all__ = ["Question", "ask", "walk_for"]
