"""Square codes: what a phone reads off a printed row to open its form (ISO/IEC 18004)."""

import segno
from django.utils.safestring import SafeString, mark_safe


def square_code(text: str, *, name: str) -> SafeString:
    """Draw the square code of an address as SVG, with a quiet zone of two modules; `name` is read out in its place."""
    code = segno.make(text, error="m", micro=False)
    drawn = code.svg_inline(border=2, svgclass="square-code", lineclass=None, omitsize=True, title=name)
    return mark_safe(drawn)  # noqa: S308  (segno escapes the title; the rest is numbers)
