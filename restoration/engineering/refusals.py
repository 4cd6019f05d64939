"""Refusals of a number that cannot be meant, each in one whole sentence."""

import math


def refuse_unless(is_fine: bool, sentence: str) -> None:
    """Raise ValueError with the sentence where the condition does not hold.

    Formula: none. Source: none. Valid for any condition. Units: none. Errors: ValueError.

    >>> refuse_unless(2 > 1, "Two must be more than one.")
    """
    if not is_fine:
        raise ValueError(sentence)


def refuse_not_finite(**given: float) -> None:
    """Raise ValueError for the first named number that is infinite or not a number.

    Formula: isfinite(x). Source: none. Valid for real numbers, any unit. Errors: ValueError.

    >>> refuse_not_finite(start_s=float("nan"))
    Traceback (most recent call last):
    ValueError: start_s must be a finite number; nan was given.
    """
    for name, value in given.items():
        refuse_unless(math.isfinite(value), f"{name} must be a finite number; {value} was given.")


def refuse_below_zero(**given: float) -> None:
    """Raise ValueError for the first named number below zero or not finite.

    Formula: 0 <= x < infinity. Source: none. Valid for real numbers, any unit. Errors: ValueError.

    >>> refuse_below_zero(rise_s=-1e-9)
    Traceback (most recent call last):
    ValueError: rise_s must be zero or more and finite; -1e-09 was given.
    """
    for name, value in given.items():
        refuse_unless(
            value >= 0.0 and math.isfinite(value),
            f"{name} must be zero or more and finite; {value} was given.",
        )


def refuse_not_above_zero(**given: float) -> None:
    """Raise ValueError for the first named number not above zero; infinity may pass.

    Formula: x > 0. Source: none. Valid for real numbers, any unit. Errors: ValueError.

    >>> refuse_not_above_zero(resistance_ohm=0.0)
    Traceback (most recent call last):
    ValueError: resistance_ohm must be more than zero; 0.0 was given.
    """
    for name, value in given.items():
        refuse_unless(value > 0.0, f"{name} must be more than zero; {value} was given.")
