"""Draws web/icons/*.png from bothends.svg; run by hand when the drawing changes.

The maskable one fills its square and keeps the drawing within the inner 80 %, which every mask leaves.
"""

from pathlib import Path

from playwright.sync_api import sync_playwright
from tools import WHOLE

ICONS = Path(__file__).parents[2] / "web" / "icons"
SIZES = {"180": 180, "192": 192, "512": 512, "maskable-512": 512}


def drawn(name: str, svg: str) -> str:
    """The drawing for one file: an apple-touch icon and a maskable one have no corners of their own."""
    if name in ("180", "maskable-512"):
        svg = svg.replace(' rx="104"', "")
    if name == "maskable-512":
        svg = svg.replace("scale(1)", "scale(0.8)")
    return svg


def main() -> None:
    """Draw all sizes."""
    svg = (ICONS / "bothends.svg").read_text(encoding="utf-8")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=WHOLE, args=["--no-sandbox", "--disable-gpu"])
        for name, size in SIZES.items():
            page = browser.new_page(viewport={"width": size, "height": size})
            page.set_content(
                "<style>*{margin:0}svg{display:block;width:100vw;height:100vh}</style>" + drawn(name, svg)
            )
            page.screenshot(path=ICONS / f"{name}.png", omit_background=True)
            page.close()
        browser.close()


if __name__ == "__main__":
    main()
