"""Every drawing of the one pen: drawn on both sides in both themes, no word cut off or on another, and it moves."""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, Route

GALLERY = Path(__file__).parent / "gallery"
WEB = Path(__file__).parents[2] / "web"
KINDS = {".js": "text/javascript", ".css": "text/css", ".html": "text/html"}
SIZES = ((306, 140), (358, 255), (440, 308), (200, 110))
"""Rooms for a drawing, px: a low phone, a usual one, one on its side, and one with no room for words."""

OUTSIDE = "async () => (await import('/gallery/measure.js')).outside()"
MEASURED = "async () => (await import('/gallery/measure.js')).words()"


@pytest.fixture(scope="module")
def rooms(chromium: Browser) -> Iterator[tuple[Callable[..., Page], list[str]]]:
    """Opens the gallery, each of its rooms once for all tests, and keeps what its pages complain of."""
    pages: dict[str, Page] = {}
    complaints: list[str] = []

    def serve(route: Route) -> None:
        name = route.request.url.split("draw.test/", 1)[1].split("?")[0]
        file = GALLERY / name.removeprefix("gallery/") if name.startswith("gallery/") else WEB / name
        file = file / "index.html" if file.is_dir() else file
        route.fulfill(body=file.read_bytes(), content_type=KINDS[file.suffix])

    def open_(*, side: str = "left", wide: int = 358, high: int = 255, **options: Any) -> Page:
        key = f"{side} {wide} {high} {options}"
        if key in pages:
            return pages[key]
        context = chromium.new_context(viewport={"width": 1500, "height": 1000}, **options)
        page = pages[key] = context.new_page()
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.route("http://draw.test/**", serve)
        page.goto(f"http://draw.test/gallery/?side={side}&wide={wide}&high={high}")
        page.wait_for_function("'ready' in document.body.dataset")
        return page

    yield open_, complaints
    for page in pages.values():
        page.context.close()


@pytest.fixture
def gallery(rooms: tuple[Callable[..., Page], list[str]]) -> Iterator[Callable[..., Page]]:
    """Opens the gallery: ``gallery(side="left", wide=358, high=255, **context)``; a test leaves it as it was."""
    open_, complaints = rooms
    yield open_
    assert complaints == []


@pytest.mark.parametrize(
    ("side", "scheme", "sizes"),
    [
        ("left", "light", SIZES[1:2]),
        ("right", "light", SIZES[:1]),
        pytest.param("left", "light", SIZES, marks=pytest.mark.long("at the usual size")),
        pytest.param("right", "light", SIZES, marks=pytest.mark.long("on a low phone")),
        pytest.param("left", "dark", SIZES, marks=pytest.mark.long("in light")),
        pytest.param("right", "dark", SIZES, marks=pytest.mark.long("in light")),
    ],
)
def test_no_word_of_any_drawing_is_cut_off_or_stands_on_another(
    gallery: Callable[..., Page], side: str, scheme: str, sizes: tuple[tuple[int, int], ...]
) -> None:
    for wide, high in sizes:
        options = {} if scheme == "light" else {"color_scheme": scheme}
        found = gallery(side=side, wide=wide, high=high, **options).evaluate(MEASURED)
        assert len(found) > 60
        assert {each["name"]: each["wrong"] for each in found if each["wrong"]} == {}


@pytest.mark.parametrize("side", ["left", pytest.param("right", marks=pytest.mark.long("the left side"))])
def test_no_piece_that_means_something_leaves_its_drawing(gallery: Callable[..., Page], side: str) -> None:
    assert gallery(side=side, reduced_motion="reduce").evaluate(OUTSIDE) == []


def test_under_120_pixels_the_words_go_and_the_counts_stay(gallery: Callable[..., Page]) -> None:
    found = {each["name"]: each["texts"] for each in gallery(wide=200, high=110).evaluate(MEASURED)}
    assert found["turn: inner up 3 teeth"] == ["1", "2", "3", "arm", "up"]
    assert found["rear: plan"] == ["250 ± 3", "214", "252 ± 3", "222"]
    assert found["length: height"] == []
    assert found["step: cover-on"] == ["1", "2", "3", "4"]


def test_an_arm_across_the_car_is_let_go_at_its_ball_joint_and_one_along_it_at_its_stop(
    gallery: Callable[..., Page],
) -> None:
    words = """() => Object.fromEntries([...document.querySelectorAll('[data-name^="step: o"]')].map((box) =>
        [box.dataset.name, [...box.querySelectorAll('text')].map((text) => text.textContent)]))"""
    found = gallery().evaluate(words)
    for step in ("off-stop", "onto-stop"):
        for kind in ("", ", front"):
            assert "stop" in found[f"step: {step}{kind}"]
        assert "stop" not in found[f"step: {step}, across"]
        assert "ball joint" in found[f"step: {step}, across"]


def test_every_drawing_has_words_for_those_who_listen(gallery: Callable[..., Page]) -> None:
    page = gallery()
    assert page.locator(".draw svg:not([role=img]):not([aria-hidden])").count() == 0
    assert page.locator('.draw svg[role=img]:not([aria-label]), .draw svg[aria-label=""]').count() == 0


def test_no_name_inside_a_drawing_stands_twice_on_a_page(gallery: Callable[..., Page]) -> None:
    ids = gallery().evaluate("() => [...document.querySelectorAll('[id]')].map((e) => e.id)")
    assert len(ids) > 20
    assert len(set(ids)) == len(ids)


def test_what_is_seen_from_the_front_shows_no_trailing_arm_and_no_wheel_from_the_side(
    gallery: Callable[..., Page],
) -> None:
    wrong = gallery().evaluate(
        """() => [...document.querySelectorAll('[data-name$=", across"]')].filter((box) =>
          box.querySelector('.tyre, .rim, svg .front')
          || (box.querySelector('.body') && !box.textContent.includes('from the front'))
        ).map((box) => box.dataset.name).filter((name) => !name.startsWith('adjuster: across'))"""
    )
    assert wrong == []


@pytest.mark.parametrize(("side", "way"), [("left", 1), ("right", -1)])
def test_the_arm_moves_with_what_is_typed_and_points_to_the_tail(
    gallery: Callable[..., Page], side: str, way: int
) -> None:
    page = gallery(reduced_motion="reduce")
    seen = page.evaluate(
        """async (side) => {
          const { angleReading } = await import('/parts/draw/angle.js');
          const view = angleReading({ side, pose: 'hanging', label: 'x' });
          const room = document.querySelector('.draw');
          const was = [...room.childNodes];
          room.replaceChildren(view);
          const seen = [-12, 0, 1, 12].map((deg) => {
            view.move({ deg, figure: `${deg}`, way: 'arm down' });
            const arm = view.querySelector('.swing .arm').getBoundingClientRect();
            const bar = view.querySelector('.swing .bar').getBoundingClientRect();
            const middle = (box) => [box.x + box.width / 2, box.y + box.height / 2];
            return [middle(arm)[0] - middle(bar)[0], middle(arm)[1] - middle(bar)[1]];
          });
          room.replaceChildren(...was);
          return seen;
        }""",
        side,
    )
    assert all(right * way > 20 for right, _ in seen)
    downs = [down for _, down in seen]
    assert downs == sorted(downs)
    assert downs[0] == pytest.approx(-downs[3], abs=1)


def test_a_body_that_is_read_higher_is_drawn_higher_with_its_tape(gallery: Callable[..., Page]) -> None:
    page = gallery(reduced_motion="reduce")
    low, high = page.evaluate(
        """async () => {
          const { lengthReading } = await import('/parts/draw/height.js');
          const view = lengthReading({ side: 'left', what: 'height', label: 'x' });
          const room = document.querySelector('.draw');
          const was = [...room.childNodes];
          room.replaceChildren(view);
          const seen = [0, 40].map((mm) => {
            view.move(mm);
            const pieces = [view.querySelector('.diamond'), view.querySelector('.tape rect')];
            return pieces.map((piece) => piece.getBoundingClientRect().y);
          });
          room.replaceChildren(...was);
          return seen;
        }"""
    )
    assert high[0] < low[0] - 5
    assert low[1] - high[1] == pytest.approx(low[0] - high[0], abs=1)


def test_a_drawing_without_a_room_of_its_own_takes_the_width_and_its_shape(
    gallery: Callable[..., Page],
) -> None:
    wide, high = gallery().evaluate(
        """async () => {
          const { stepPicture } = await import('/parts/draw/steps.js');
          const room = document.querySelector('figure').appendChild(document.createElement('div'));
          room.style.width = '300px';
          room.append(stepPicture({ side: 'left', step: 'stands', label: 'x' }));
          const box = room.querySelector('svg').getBoundingClientRect();
          room.remove();
          return [box.width, box.height];
        }"""
    )
    assert (wide, high) == (pytest.approx(300), pytest.approx(174))


def test_in_forced_colours_and_on_paper_what_stays_is_hatched(gallery: Callable[..., Page]) -> None:
    page = gallery(forced_colors="active")
    fill = "() => getComputedStyle(document.querySelector('[data-name^=\"turn: inner\"] .hatching')).fill"
    assert "url" in page.evaluate(fill)
    page.emulate_media(media="print", forced_colors="none")
    assert "url" in page.evaluate(fill)
    moving = "() => getComputedStyle(document.querySelector('[data-name^=\"turn: inner\"] .moving')).fill"
    assert page.evaluate(moving) == "rgb(255, 255, 255)"
    names = page.locator('[data-name="rear: plan"] .paper-only')
    assert [names.nth(i).is_visible() for i in range(names.count())] == [True, True]
