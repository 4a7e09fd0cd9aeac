"""The drawing as PNG: its text is really there, and nothing of the system is needed."""

import io
import os
import re
import shutil
import subprocess
import sys
from hashlib import sha256
from pathlib import Path

import pytest
import resvg_py
from PIL import Image

from tests.views.drawings import small
from tracegraph.draw.dot import program
from tracegraph.draw.drawing import Sheet
from tracegraph.draw.shapes import Box, Text
from tracegraph.draw.text import width
from tracegraph.views import png as png_module
from tracegraph.views.png import NoPngError, png, rendered
from tracegraph.views.svg import svg

ROOT = Path(__file__).parents[2]
TITLE = Box(1, 1, 14, 3)  # where the title of the small drawing stands
# What a program of the C library needs; everything else would have to be installed.
PLAIN = (
    r"(linux-vdso|libgcc_s|libpthread|libm|libc|libdl|librt|ld-linux.*|ld-musl.*)\.so.*"
)
WORDS = [
    "AVAVAV To Ty",
    "R27 22k",
    "4.7 µF ±5 %",
    "GATE_DRIVE",
    "→ ≤ Ω °C",
]


def opened(data: bytes) -> Image.Image:
    return Image.open(io.BytesIO(data)).convert("RGB")


def inked(picture: Image.Image, box: Box, scale: float = 2) -> int:
    """Return how many points of a box, in units, are darker than the paper."""
    left, top, right, bottom = (round(one * 10 * scale) for one in box)
    part = picture.crop((left, top, right, bottom))
    return sum(part.convert("L").point(lambda one: one < 128).histogram()[1:])


def alone(text: Text) -> Sheet:
    return Sheet(1, text, 40, 6, (), (), (), ())


@pytest.mark.parametrize("scale", [1.0, 2.0, 3.0])
def test_it_is_as_large_as_the_sheet(scale: float) -> None:
    assert opened(png(small(), scale=scale)).size == (220 * scale, 180 * scale)


def test_the_ground_is_light_or_dark() -> None:
    assert opened(png(small())).getpixel((2, 2)) == (255, 255, 255)
    assert opened(png(small(), dark=True)).getpixel((2, 2)) == (0x14, 0x18, 0x1D)


def test_the_text_is_really_there(monkeypatch: pytest.MonkeyPatch) -> None:
    written = opened(png(small()))
    monkeypatch.setattr(png_module, "FONTS", ())
    bare = opened(png(small()))
    assert inked(bare, TITLE) == 0
    assert inked(written, TITLE) > 500
    for part in small().parts:
        x, y = part.texts[0].at
        box = Box(x - 0.5, y - 0.5, x + 1.5, y + 0.5)
        assert inked(written, box) > inked(bare, box) + 20


@pytest.mark.parametrize("bold", [False, True])
@pytest.mark.parametrize("words", WORDS)
def test_a_rendered_text_is_as_wide_as_we_reckon(words: str, bold: bool) -> None:
    size = 2.0
    picture = opened(png(alone(Text((2, 3), words, size, bold)), scale=4))
    ink = picture.convert("L").point(lambda one: 255 * (one < 200)).getbbox()
    assert ink is not None
    right = ink[2] / 40 - 2
    told = width(words, size, bold=bold)
    assert told - 0.2 * size < right < told + 0.05 * size


def test_joined_letters_are_no_wider_than_we_reckon() -> None:
    picture = opened(png(alone(Text((2, 3), "fi ffi fl", 2)), scale=4))
    ink = picture.convert("L").point(lambda one: 255 * (one < 200)).getbbox()
    assert ink is not None
    assert ink[2] / 40 - 2 < width("fi ffi fl", 2)


def test_bold_is_bold() -> None:
    plain, bold = (
        opened(png(alone(Text((2, 3), "R27", 2, heavy)))) for heavy in (False, True)
    )
    box = Box(0, 0, 40, 6)
    assert inked(bold, box) > 1.2 * inked(plain, box)


def test_the_middle_of_a_text_is_where_it_is_tied() -> None:
    picture = opened(png(alone(Text((2, 3), "H", 3)), scale=10))
    ink = picture.convert("L").point(lambda one: 255 * (one < 128)).getbbox()
    assert ink is not None
    assert (ink[1] + ink[3]) / 2 / 100 == pytest.approx(3, abs=0.03)


def test_the_same_drawing_gives_the_same_bytes() -> None:
    assert png(small()) == png(small())


def test_no_font_of_the_system_is_looked_at(tmp_path: Path) -> None:
    code = (
        "import hashlib, sys\n"
        "from tests.views.drawings import small\n"
        "from tracegraph.views.png import png\n"
        "print(hashlib.sha256(png(small())).hexdigest())"
    )
    places = dict.fromkeys(("HOME", "XDG_DATA_HOME", "XDG_DATA_DIRS", "PATH"), "")
    bare = {
        **{name: str(tmp_path) for name in places},
        "FONTCONFIG_FILE": str(tmp_path / "none"),
        "PYTHONPATH": str(ROOT),
        "SYSTEMROOT": os.environ.get("SYSTEMROOT", ""),
    }
    command = [sys.executable, "-c", code]
    done = subprocess.run(
        command, env=bare, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.strip() == sha256(png(small())).hexdigest()


@pytest.mark.skipif(not shutil.which("ldd"), reason="only where ldd tells")
def test_no_graphics_library_of_the_system_is_needed() -> None:
    (renderer,) = Path(resvg_py.__file__).parent.glob("*.so")
    for binary in (renderer, program()):
        command = ["ldd", str(binary)]
        told = subprocess.run(command, capture_output=True, text=True, check=False)
        needed = re.findall(r"^\s*(?:\S*/)?([^\s/]+\.so\S*)", told.stdout, re.MULTILINE)
        assert [name for name in needed if not re.fullmatch(PLAIN, name)] == []
        assert needed or "static" in told.stdout + told.stderr


def test_a_machine_without_the_renderer_is_told(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setitem(sys.modules, "resvg_py", None)
    with pytest.raises(NoPngError, match="resvg-py"):
        rendered(svg(small()))
