"""How much memory the largest pictures take that are opened at all."""

import subprocess
import sys
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image
from PIL.ExifTags import Base

from harvestlog.photos.pictures import MOST_PIXELS_WHOLE
from tests.photos.camera import TURNED_RIGHT

MOST_MB = 300
# In a program of its own, whose peak is that of this one picture: Linux keeps it as VmHWM, in kB.
# (resource's ru_maxrss would begin with the peak of the tests that started it.)
PROGRAM = """
import sys
from pathlib import Path

def peak_kb():
    lines = Path("/proc/self/status").read_text().splitlines()
    return next(int(line.split()[1]) for line in lines if line.startswith("VmHWM"))

from harvestlog.photos.pictures import clean
small, large = (Path(name).read_bytes() for name in sys.argv[1:])
clean(small)
before = peak_kb()
clean(large)
print((peak_kb() - before) // 1024)
"""


def turned(kind: str, side: int) -> bytes:
    exif = Image.Exif()
    exif[Base.Orientation] = TURNED_RIGHT
    out = BytesIO()
    Image.new("RGBA", (side, side)).save(out, kind, exif=exif)
    return out.getvalue()


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux says what the peak was")
@pytest.mark.parametrize("kind", ["PNG", "WEBP"])
def test_the_largest_picture_that_is_opened_whole_takes_less_than_300_mb(kind: str, tmp_path: Path) -> None:
    for name, side in {"small": 16, "large": int(MOST_PIXELS_WHOLE**0.5)}.items():
        (tmp_path / name).write_bytes(turned(kind, side))
    program = [sys.executable, "-c", PROGRAM, str(tmp_path / "small"), str(tmp_path / "large")]
    ended = subprocess.run(program, capture_output=True, text=True, check=True)
    assert 0 < int(ended.stdout) < MOST_MB
