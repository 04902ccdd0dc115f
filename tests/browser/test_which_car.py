"""Which car it is, and jobs made by mistake: asked on a phone, said on the PC, seen on the other, taken back."""

from collections.abc import Callable, Iterator

import pytest
from browser.books import Book, book
from browser.conftest import PC, PHONE
from browser.hand import Hand, until
from playwright.sync_api import expect

pytestmark = pytest.mark.same_page

SYNC = "async () => (await import('/shop/pace.js')).syncNow()"
BEGIN = "async (about) => (await (await import('/book/log.js')).begin([['job', about]])).job"
BY_ITSELF = """async (job) => {
  const [log, { look }, { cars }, { toldOf }, { carHere }] = await Promise.all(
    ['/book/log.js', '/book/snapshot.js', '/model/solver.js', '/work/car-said.js', '/work/pc/car-local.js'].map(
      (name) => import(name)));
  const all = await Promise.all((await log.jobs()).map(look));
  const which = await cars(all.map(({ sheet }) => toldOf(sheet)));
  const found = all.map((one, i) => ({ ...one, which: which[i] }));
  const { key } = which.find((one) => one.job === job);
  return carHere(found, key).visits.map((visit) => visit.job).sort();
}"""
"""A car's visits by the jobs on the device alone."""


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    """A served book."""
    with book(tmp_path_factory.mktemp("which")) as served:
        yield served


@pytest.fixture
def two(make_hand: Callable[..., Hand], shop: Book) -> tuple[Hand, Hand]:
    """A phone and the PC of the shop."""
    hands = make_hand(shop.access["id"], **PHONE), make_hand(shop.access["id"], **PC)
    for hand in hands:
        hand.page.set_default_timeout(30_000)
        shop.pair(hand)
    return hands


def sync(*hands: Hand) -> None:
    for hand in hands:
        hand.page.evaluate(SYNC)


def visits(shop: Book, job: str) -> list[str] | None:
    """The visits of a job's car, as the shop has them."""
    found = shop.ask("GET", f"/api/cars/page?key=-&job={job}")
    return sorted(visit["job"] for visit in found["visits"])


def by_itself(hand: Hand, job: str) -> list[str]:
    """The same as the phone has it without asking."""
    return list(hand.page.evaluate(BY_ITSELF, job))


def test_two_cars_of_one_name_are_asked_about_joined_split_and_undone_on_every_device(
    two: tuple[Hand, Hand], shop: Book
) -> None:
    phone, pc = two
    one = phone.page.evaluate(BEGIN, {"car": "Gannet", "owner": "Maren", "title": "Gannet, Maren"})
    other = phone.page.evaluate(BEGIN, {"title": "A car"})
    sync(phone)
    # On the phone, where it is typed: no, and that is remembered.
    phone.go(other, "about")
    phone.page.get_by_label("Car", exact=True).fill("gannet")
    phone.page.get_by_label("Owner’s first name").fill("maren")
    asked = phone.page.locator(".same-car", has_text="Is this the same car as Gannet, Maren of")
    expect(asked).to_have_count(1)
    phone.hit(asked.locator("button", has_text="Not now"))
    expect(asked).to_have_count(0)
    phone.hit(phone.page.get_by_role("button", name="Save"))
    sync(phone, pc)
    assert visits(shop, one) == [one]
    assert visits(shop, other) == [other]
    # On the PC's page of the car it is asked again; yes.
    pc.place(f"car?job={one}")
    question = pc.page.locator(".which-ask", has_text="Is this the same car as gannet, maren of")
    pc.hit(question.locator("button", has_text="Same car"))
    expect(pc.page.locator(".headline")).to_contain_text("2 visits")
    expect(question).to_have_count(0)
    assert visits(shop, other) == sorted([one, other])
    sync(phone)
    assert by_itself(phone, one) == sorted([one, other])
    # Taken back, they are two again; no, and nobody asks any more, on either device.
    pc.hit(pc.page.locator("#which-car > summary"))
    pc.hit(pc.page.locator(".which-said").get_by_role("button", name="Undo"))
    expect(pc.page.locator(".headline")).to_contain_text("1 visit")
    pc.hit(question.locator("button", has_text="Another car"))
    expect(question).to_have_count(0)
    sync(phone)
    for job in (one, other):
        assert visits(shop, job) == by_itself(phone, job) == [job]
    phone.go(other, "about")
    expect(phone.page.get_by_label("Car", exact=True)).to_have_value("gannet")
    expect(phone.page.locator(".same-car")).to_have_count(0)
    until(lambda: shop.ask("GET", f"/api/cars/page?key={other}")["others"] == [], phone.page)


@pytest.mark.long("asked on a phone and on the page of the car")
@pytest.mark.parametrize("place", ["table", "desk"])
def test_the_pc_asks_above_its_table_and_at_its_desk_and_takes_back_what_was_answered(
    two: tuple[Hand, Hand], shop: Book, place: str
) -> None:
    phone, pc = two
    about = {"car": f"Heron {place}", "owner": "Ida", "title": f"Heron {place}, Ida"}
    one, other = (phone.page.evaluate(BEGIN, about) for _ in range(2))
    sync(phone, pc)
    pc.place(place)
    row = pc.page.locator(".same-cars > li", has_text=f"Is this the same car as Heron {place}, Ida of")
    if place == "table":
        pc.hit(pc.page.locator("#same-cars > summary"))
    pc.hit(row.locator("button", has_text="Same car"))
    done = pc.page.locator(".same-cars > li", has_text=f"Heron {place}, Ida").filter(has_text="Same car.")
    expect(done).to_have_count(1)
    until(lambda: visits(shop, one) == visits(shop, other) == sorted([one, other]), pc.page)
    pc.hit(done.locator("button", has_text="Undo"))
    until(lambda: visits(shop, one) == [one] and visits(shop, other) == [other], pc.page)
    pc.hit(row.locator("button", has_text="Another car"))
    expect(pc.page.locator(".same-cars > li", has_text=f"Heron {place}, Ida")).to_contain_text("Another car.")
    until(lambda: shop.ask("GET", f"/api/cars/page?key={other}")["others"] == [], pc.page)
    sync(phone)
    assert by_itself(phone, one) == [one]
    pc.place("settings")
    pc.place(place)
    expect(pc.page.locator("main h1")).to_be_visible()
    expect(row).to_have_count(0)


@pytest.mark.long("cars joined, split and undone; those joined by name: tests/book/test_identity.py")
def test_what_an_older_version_joined_by_name_is_split_on_the_pc_and_undone(
    two: tuple[Hand, Hand], shop: Book
) -> None:
    phone, pc = two
    old = {"car": "Plover", "owner": "Tove", "title": "Plover, Tove", "by_name": None}
    first, second = (
        phone.page.evaluate(BEGIN, {**old, "wish": wish}) for wish in ("the first", "the second")
    )
    sync(phone, pc)
    key = "plover / tove"
    pc.place(f"car?key={key}")
    expect(pc.page.locator(".which-ask")).to_contain_text("2 visits are joined by name and owner only")
    pc.hit(pc.page.locator("#which-car > summary"))
    pc.hit(pc.page.locator(".which-visits label", has_text="the second"))
    pc.hit(pc.page.get_by_role("button", name="Split off"))
    expect(pc.page.locator(".headline")).to_contain_text("1 visit")
    sync(phone)
    for job in (first, second):
        assert visits(shop, job) == by_itself(phone, job) == [job]
    pc.hit(pc.page.locator("#which-car > summary"))
    pc.hit(pc.page.locator(".which-said").get_by_role("button", name="Undo").first)
    expect(pc.page.locator(".headline")).to_contain_text("2 visits")
    sync(phone)
    assert visits(shop, first) == by_itself(phone, second) == sorted([first, second])
    found = shop.ask("GET", f"/api/cars/page?key=-&job={first}")
    # As if it had never been split.
    assert [visit["car_by"] for visit in found["visits"]] == ["name", "name"]


@pytest.mark.long("a hidden job in the book: tests/book/test_identity.py")
def test_a_job_made_by_mistake_is_hidden_on_a_phone_and_found_again_on_the_pc(
    two: tuple[Hand, Hand], shop: Book
) -> None:
    phone, pc = two
    job = phone.page.evaluate(BEGIN, {"car": "Knot", "owner": "Ida", "title": "Knot, Ida"})
    phone.go(job, "list")
    phone.hit(phone.page.get_by_role("button", name="Hide this job"))
    expect(phone.page.get_by_role("button", name="Show it again")).to_be_visible()
    expect(phone.page.get_by_role("status").filter(has_text="This job is hidden")).to_be_visible()
    sync(phone, pc)
    card = phone.page.locator(f".job[data-job='{job}']")
    phone.place("")
    expect(phone.page.locator("#hidden > summary")).to_contain_text("Hidden")
    expect(card).to_be_hidden()
    phone.hit(phone.page.locator("#hidden > summary"))
    expect(card).to_be_visible()
    pc.place("table")
    chip = pc.page.locator(".chip", has_text="hidden")
    expect(chip).to_contain_text("1")
    row = pc.page.locator(".jobs-table tbody tr", has_text="Knot")
    expect(row).to_have_count(0)
    pc.hit(chip)
    expect(row).to_have_count(1)
    # Its link still opens, and there it is shown again.
    pc.go(job, "list")
    pc.hit(pc.page.get_by_role("button", name="Show it again"))
    expect(pc.page.get_by_role("button", name="Hide this job")).to_be_visible()
    sync(pc, phone)
    phone.place("")
    expect(card).to_be_visible()
    expect(phone.page.locator("#hidden")).to_have_count(0)
