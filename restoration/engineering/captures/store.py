"""The compact store of samples: whole steps of a stated size in one or two bytes, compressed."""

from __future__ import annotations

import zlib
from typing import NamedTuple

import numpy as np

from restoration.engineering.captures.record import CaptureRefused, Samples, grid_step


class Packed(NamedTuple):
    """Samples as codes: value = offset + scale * code; ``error_v`` is the largest difference this made."""

    data: bytes
    scale: float
    offset: float
    dtype: str
    error_v: float


_LEAST_COMPRESSED = 1


def pack(values: Samples) -> Packed:
    """Samples as one- or two-byte codes, compressed.

    Where the samples lie on the steps of a converter of 16 bits or fewer each code is that step, and ``error_v`` is the
    rounding of the arithmetic (about 1e-16 of the largest value). Otherwise, or where printed rounding has moved the
    samples off their steps by more than this would, the range is divided into 65535 steps and ``error_v`` is at most
    half of one (plus that rounding), 8 parts in a million of the range.
    The error is measured, not promised: it is the largest difference between what went in and what comes out.
    Shape (n,), volts. Raises CaptureRefused for an empty or non-finite array.

    >>> packed = pack(np.tile([0.0, 0.02, 0.04, 0.08], 8))
    >>> packed.dtype, packed.scale, packed.error_v < 1e-15
    ('uint8', 0.02, True)
    """
    values = np.ascontiguousarray(values, dtype=np.float64)
    if not values.size or not np.isfinite(values).all():
        raise CaptureRefused("Only a trace with at least one sample, all of them finite, can be stored.")
    offset, most = float(values.min()), float(values.max())
    scale = _scale(values, most - offset)
    codes = np.rint((values - offset) / scale)
    dtype = "uint8" if codes[codes.argmax()] <= 255 else "<u2"
    stored = codes.astype(dtype)
    error_v = float(np.abs(stored * scale + offset - values).max())
    return Packed(zlib.compress(stored.tobytes(), _LEAST_COMPRESSED), scale, offset, dtype, error_v)


def _scale(values: Samples, span: float) -> float:
    if span <= 0 or span / 65535 <= 0:
        return 1.0
    step = grid_step(values) or _two_or_three_levels(values)
    if step is not None and span / step <= 65535 and _on_grid(values, step, span):
        return step
    return span / 65535


def _two_or_three_levels(values: Samples) -> float | None:
    distinct = np.unique(values[:: max(1, values.size // 4096)])
    return float(np.diff(distinct).min()) if 2 <= distinct.size <= 3 else None


def _on_grid(values: Samples, step: float, span: float) -> bool:
    """Whether whole steps come no farther from the samples than half of a 65535th of their range."""
    places = (values - values.min()) / step
    return bool(np.abs(places - np.rint(places)).max() * step <= span / 131070)


def unpack(data: bytes, scale: float, offset: float, dtype: str, most_samples: int = 20_000_000) -> Samples:
    """Samples from their codes, volts, shape (n,).

    Raises CaptureRefused where the data are damaged, of an unknown kind, or longer than ``most_samples``.

    >>> packed = pack(np.array([0.0, 1.5, 3.0]))
    >>> unpack(packed.data, packed.scale, packed.offset, packed.dtype).tolist()
    [0.0, 1.5, 3.0]
    """
    if dtype not in ("uint8", "<u2"):
        raise CaptureRefused(f"The stored trace has codes of the kind '{dtype}'; uint8 and <u2 are known.")
    size = np.dtype(dtype).itemsize
    reader = zlib.decompressobj()
    try:
        raw = reader.decompress(data, most_samples * size + 1)
    except zlib.error:
        raise CaptureRefused("The stored trace is damaged: it cannot be expanded.") from None
    if len(raw) > most_samples * size:
        raise CaptureRefused(f"The stored trace is longer than {most_samples} samples.")
    if not reader.eof or not raw or len(raw) % size:
        raise CaptureRefused("The stored trace is damaged: it ends too early.")
    return np.frombuffer(raw, dtype=dtype) * scale + offset
