"""What the page itself refuses: markup and scripts from text (Trusted Types, W3C), addresses that lead nowhere."""

import pytest
from browser.hand import Hand
from playwright.sync_api import Error, expect

pytestmark = pytest.mark.same_page


WORKS = (
    "() => { document.body.innerHTML = '<p>x</p>'; }",
    "() => new Worker('/model/worker.js')",
    "() => new Worker(URL.createObjectURL(new Blob(['1'])))",
)
OTHERS = ("https://bank.example/sw.js", "/app.js", "data:text/javascript,1")


def test_no_text_becomes_markup_or_the_address_of_a_script(phone: Hand, complaints: list[str]) -> None:
    phone.open()
    for work in WORKS:
        told = phone.page.expect_console_message(lambda said: "policy: require-trusted-types" in said.text)
        with told, pytest.raises(Error, match="TypeError"):
            phone.page.evaluate(work)
    complaints.clear()
    # Only the scripts that the app starts have an address.
    for other in OTHERS:
        with pytest.raises(Error, match="is no script of this app"):
            phone.page.evaluate(
                "async (text) => (await import('/model/place.js')).scriptAddress(text)", other
            )


def test_an_odd_address_leads_to_the_jobs_and_says_so(phone: Hand) -> None:
    for words in ("%", "%E0%A4%A", "__proto__", "constructor", "toString", "nowhere/at/all"):
        phone.place(words)
        expect(phone.page.get_by_text("That address leads nowhere. Here are the jobs.")).to_be_visible()
        expect(phone.page.get_by_role("link", name="New job")).to_be_visible()
        phone.place("settings")
        phone.place("")
        expect(phone.page.get_by_text("That address leads nowhere.")).to_have_count(0)


def test_an_odd_address_of_a_job_leads_to_its_log(phone: Hand) -> None:
    job = phone.job()
    for word in ("%", "__proto__", "constructor"):
        phone.go(job, word)
        expect(phone.page.get_by_role("link", name="214 mm")).to_be_visible()
        phone.place("")
