"""The README's pictures, made anew by the program itself: python pictures.py FOLDER."""

import subprocess
import sys
import tempfile
from io import BytesIO
from pathlib import Path

import pypdfium2
from PIL import Image

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "tests"))
from browsing import SOFT_3D, opened  # noqa: E402

JOB = ROOT / "fixtures" / "cabinets" / "millrace.toml"
WIDTH = 860  # pixels


def main(folder: Path) -> None:
    """Four pictures of one job."""
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as name:
        work = Path(name)
        cncpanel("make", JOB, "--out", work / "made", "--quiet")
        kept(page_of(work / "made" / "sheets" / "sheets.pdf", "set-up of sheet 1"), folder / "set-up.png")
        programs = sorted((work / "made" / "programs").glob("*-run*.nc"))
        page = work / "proof.html"
        cncpanel("prove", programs[0], "--machine", "shop-router", "--job", JOB, "--out", page)
        kept(shown(page, work / "first"), folder / "proof.png")
        kept(shown(page, work / "second", "v"), folder / "proof-3d.png")
        tiles = work / "tiles.pdf"
        cncpanel("template", JOB, "side", "--out", tiles, "--paper", "A3")
        kept(page_of(tiles, "", page=1), folder / "tile.png")


def cncpanel(*words: str | Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "cncpanel", *map(str, words)], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr


def page_of(path: Path, words: str, page: int | None = None) -> Image.Image:
    """The page that has these words, or of that number."""
    document = pypdfium2.PdfDocument(path)
    texts = [one.get_textpage().get_text_range() for one in document]
    number = page if page is not None else next(i for i, text in enumerate(texts) if words in text and i > 0)
    return document[number].render(scale=2).to_pil()


def shown(page: Path, profile: Path, *keys: str) -> Image.Image:
    """The proof's picture in a browser; its scrubber halfway."""
    with opened(page, profile, *SOFT_3D) as browser:
        browser.key(*keys)
        browser.run("return new Promise(done => setTimeout(done, 1500))")
        return Image.open(BytesIO(browser.chrome.get_screenshot_as_png())).convert("RGB")


def kept(picture: Image.Image, path: Path) -> None:
    """As wide as a README shows it, in few colours."""
    height = round(picture.height * WIDTH / picture.width)
    small = picture.convert("RGB").resize((WIDTH, height), Image.Resampling.LANCZOS)
    small.quantize(96).save(path, optimize=True)
    print(f"{path}: {path.stat().st_size // 1024} kB")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
