"""What people bring to the site on a journey: a photograph from a telephone, captures from an oscilloscope."""

import io
import math
from functools import cache

import numpy as np
from PIL import Image, ImageDraw
from PIL.ExifTags import GPS, IFD, Base

from restoration.engineering.link_model import LinkLoad, LinkModel, LosslessLine, PulseSource, link_volts
from restoration.engineering.oscilloscope import Oscilloscope, digitise
from restoration.kestrel.scope_files import write_scope_csv

TURNED_LEFT = 6  # the telephone was held upright; a viewer has to turn the pixels (JEITA CP-3451)
INTERVAL_S, SAMPLES, START_S = 4e-9, 2000, -1e-6


def photograph() -> bytes:
    """A telephone's JPEG of a chassis, with its place on earth, its maker and a comment in it."""
    picture = Image.new("RGB", (640, 480), (196, 189, 170))
    ImageDraw.Draw(picture).rectangle((40, 60, 600, 420), fill=(92, 96, 90), outline=(20, 20, 20), width=6)
    told = Image.Exif()
    told[Base.Orientation], told[Base.Make], told[Base.ImageDescription] = TURNED_LEFT, "Lantern", "At Pilar's bench"
    place = told.get_ifd(IFD.GPSInfo)
    place[GPS.GPSLatitudeRef], place[GPS.GPSLatitude] = "N", (51.0, 30.0, 12.0)
    place[GPS.GPSLongitudeRef], place[GPS.GPSLongitude] = "W", (3.0, 10.0, 5.0)
    file = io.BytesIO()
    picture.save(file, "JPEG", exif=told, comment=b"the key hangs behind the door")
    return file.getvalue()


def a_file(content: bytes) -> io.BytesIO:
    """The same, to be read."""
    return io.BytesIO(content)


@cache
def capture(*, series_ohm: float = 0.0, shunt_ohm: float = math.inf, seed: int = 1) -> bytes:
    """What the pair saves at the load end of a link: 30 V behind 150 ohms, 4.6 m of wire, a valve's grid.

    Without an attenuator the load sees about 29 V; with 1.2 kilohms in series and 3.3 kilohms across, about 17.7 V.
    """
    source = PulseSource(0.0, 30.0, duration_s=2.4e-6, rise_s=0.3e-6, fall_s=0.3e-6, resistance_ohm=150.0)
    line = LosslessLine.of_length(4.6, impedance_ohm=280.0, delay_s_per_m=4e-9)
    link = LinkModel(source, line, LinkLoad(4700.0, 60e-12), series_ohm=series_ohm, shunt_ohm=shunt_ohm)
    times_s = START_S + INTERVAL_S * np.arange(SAMPLES)
    scope = Oscilloscope(INTERVAL_S, SAMPLES, least_v=-10, most_v=40, start_s=START_S, noise_rms_v=0.05)
    volts = digitise(scope, link_volts(link, times_s).load_v, np.random.default_rng(seed))
    return write_scope_csv("two rows", START_S, INTERVAL_S, {"CH1": volts})


def capture_found() -> bytes:
    """The link as it was found: too high by half."""
    return capture()


def capture_left() -> bytes:
    """The link as it was left, with an attenuator of 1.2 and 3.3 kilohms."""
    return capture(series_ohm=1200.0, shunt_ohm=3300.0, seed=2)
