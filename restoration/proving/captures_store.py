"""Captures kept: the original bytes by their content, the samples packed, the measurement beside them."""

import hashlib
from dataclasses import dataclass, field
from datetime import timedelta
from pathlib import PurePath

from django.core import signing
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import UploadedFile
from django.utils import timezone

from restoration.engineering.captures import Capture as ReadCapture
from restoration.engineering.captures import CaptureRefused, Trace, pack, read_capture, unpack
from restoration.engineering.pulses import as_json
from restoration.people.models import Person
from restoration.proving.measuring import EndMeasured
from restoration.proving.models import Capture, SignalCheck

MOST_BYTES = 64_000_000
MOST_SAMPLES = 4_000_000
HELD_FOR = timedelta(hours=24)
HELD_SALT = "a capture held while its form is mended"


@dataclass(frozen=True)
class Original:
    """A capture file as it came: its name, and every byte of it."""

    name: str
    data: bytes = field(repr=False)

    @property
    def sha256(self) -> str:
        """The file's name in the store, which follows from its content."""
        return hashlib.sha256(self.data).hexdigest()


def take_upload(upload: UploadedFile) -> Original:
    """Read a file sent by a form, no larger than is useful."""
    if upload.size is not None and upload.size > MOST_BYTES:
        raise CaptureRefused(
            f"The file has {upload.size / 1e6:.0f} MB, and at most {MOST_BYTES / 1e6:.0f} MB are taken. "
            "Save a shorter record on the oscilloscope."
        )
    return Original(plain_name(upload.name or ""), upload.read())


def plain_name(name: str) -> str:
    """Keep the last part of a file's name, without what does not belong in one.

    >>> plain_name("../scope/trace 1.csv"), plain_name("C:\\\\scope\\\\a.csv"), plain_name("\\x00")
    ('trace 1.csv', 'a.csv', 'capture')
    """
    last = PurePath(name.replace("\\", "/")).name
    printable = "".join(letter for letter in last if letter.isprintable() and letter not in '"<>|:*?')
    return printable.strip()[-200:] if printable.strip(" .") else "capture"


def read_original(original: Original, interval_s: float | None = None) -> ReadCapture:
    """Read the traces of a capture; refuses with a sentence what is none."""
    return read_capture(
        original.data,
        name=original.name,
        interval_s=interval_s,
        most_samples=MOST_SAMPLES,
        most_bytes=MOST_BYTES,
    )


def store_capture(check: SignalCheck, measured: EndMeasured) -> Capture:
    """Keep the capture of one end: original, samples, measurement; call it last, for a file is not rolled back."""
    taken = measured.taken
    if taken is None:
        raise ValueError("Only an end that was measured on a capture has one to keep.")
    original = Original(measured.name, measured.data)
    packed = pack(taken.trace.values)
    measurement = {**as_json(taken.measurement), "capture_warnings": list(taken.capture.warnings)}
    return Capture.objects.create(
        check_made=check,
        end=measured.end,
        stage=measured.stage,
        original=put_file("captures", original),
        original_name=original.name,
        sha256=original.sha256,
        size_bytes=len(original.data),
        shape=taken.capture.shape[:60],
        channel=taken.trace.name[:60],
        probe_scale=measured.probe_scale,
        start_s=taken.trace.start_s,
        interval_s=taken.trace.interval_s,
        sample_count=taken.trace.values.size,
        packed=packed.data,
        packing={"scale": packed.scale, "offset": packed.offset, "dtype": packed.dtype, "error_v": packed.error_v},
        measurement=measurement,
    )


def trace_of(capture: Capture) -> Trace:
    """Unpack the samples of a stored capture; without a sample interval they stand one second apart."""
    packing = capture.packing
    values = unpack(bytes(capture.packed), packing["scale"], packing["offset"], packing["dtype"])
    return Trace(capture.channel, capture.start_s, capture.interval_s, values)


def original_of(capture: Capture) -> Original:
    """Read the original of a stored capture, byte for byte."""
    with capture.original.open() as file:
        return Original(capture.original_name, file.read())


def put_file(folder: str, original: Original) -> str:
    """Keep a file under the name of its content, once however often it comes; return its place."""
    place = f"{folder}/{original.sha256[:2]}/{original.sha256}"
    if default_storage.exists(place):
        return place
    return default_storage.save(place, ContentFile(original.data))


def hold(original: Original, person: Person) -> str:
    """Keep a readable capture for a day, so that a form that comes back need not ask for it again."""
    forget_old()
    put_file("held", original)
    held = {"sha256": original.sha256, "name": original.name, "person": person.pk}
    return signing.dumps(held, salt=HELD_SALT, compress=True)


def held(token: str, person: Person) -> Original | None:
    """Fetch a capture held for this person; None where it was not, or is no longer."""
    try:
        kept = signing.loads(token, salt=HELD_SALT, max_age=HELD_FOR)
    except signing.BadSignature:
        return None
    place = f"held/{kept['sha256'][:2]}/{kept['sha256']}"
    if kept["person"] != person.pk or not default_storage.exists(place):
        return None
    with default_storage.open(place) as file:
        return Original(kept["name"], file.read())


def forget_old() -> None:
    """Clear away what was held for longer than a day."""
    for folder in _listed("held")[0]:
        for name in _listed(f"held/{folder}")[1]:
            place = f"held/{folder}/{name}"
            if default_storage.get_modified_time(place) < timezone.now() - HELD_FOR:
                default_storage.delete(place)


def _listed(folder: str) -> tuple[list[str], list[str]]:
    return default_storage.listdir(folder) if default_storage.exists(folder) else ([], [])
