"""The phone computes a block's figures by itself; the server computes them from the same records. They agree."""

import re

from playwright.sync_api import expect

from tests.browser.conftest import NewPhone, Shed
from tests.browser.grower import Grower


def shown(olga: Grower, name: str) -> str:
    """The figure that stands under this name on the block's page, as digits."""
    figure = (
        olga.page.locator("dl.figures > *")
        .filter(has=olga.page.get_by_text(name, exact=True))
        .locator(".figure")
    )
    expect(figure.first).to_be_visible()
    return re.sub(r"[^0-9.]+", " ", figure.first.inner_text()).strip()


def test_a_blocks_page_shows_the_figures_the_server_computes(shed: Shed, new_phone: NewPhone) -> None:
    olga = Grower(new_phone())
    olga.phone.open()
    olga.starts_a_farm(shed.setup_code)
    (label,) = olga.writes_down_a_delivery(blocks=1, stated_dry="1150 g")
    olga.opens_block(label)
    block = olga.page.url.rsplit("/", 1)[-1]
    for digits, dried in (("412", "38"), ("305.5", "")):
        olga.taps("Weigh").presses(digits)
        if dried:
            olga.taps("Dried").presses(dried)
        olga.saves().sees("Weigh next").taps(re.compile("^See"))
    olga.tries_now().has_sent_everything().opens_block(label)
    ask = "block => fetch(`/api/reports/blocks/${block}`).then((answer) => answer.json())"
    told = olga.page.evaluate(ask, block)["figures"]
    assert told["fresh_g"] == 717.5
    assert shown(olga, "It gave so far") == f"{told['yield_g_per_kg_wet']:.0f}"
    assert shown(olga, "Biological efficiency") == f"{told['efficiency_pct'][0]:.0f}"
    assert shown(olga, "Dries down") == f"{told['dry_down']['ratio']:.1f} 1"
    assert shown(olga, "First harvest") == f"{told['days_to_first_harvest']}"


ZONED = """block => fetch(`/api/reports/blocks/${block}?zone=${Intl.DateTimeFormat().resolvedOptions().timeZone}`)
  .then((answer) => answer.json())"""


def test_what_may_still_come_of_a_block_is_what_the_server_expects(shed: Shed, new_phone: NewPhone) -> None:
    visitor = Grower(new_phone())
    visitor.phone.open()
    visitor.taps("Look round the demo farm")
    visitor.page.get_by_role("navigation").wait_for()
    visitor.has_sent_everything().goes("Blocks")
    links = visitor.page.locator(".blocks a[href^='#/block/']")
    expect(links.first).to_be_visible()
    growing = [link.get_attribute("href") or "" for link in links.all()]
    said = 0
    for address in growing:
        told = visitor.page.evaluate(ZONED, address.rsplit("/", 1)[-1])["next_flush"]
        if told is None or told["grams"] is None or told["first_day"] is None:
            continue
        visitor.page.goto(visitor.phone.url + address)
        first, last = (int(told[day][-2:]) for day in ("first_day", "last_day"))
        low, value, high = (float(f"{told['grams'][end]:.2g}") for end in ("low", "value", "high"))
        awaited = rf"Flush {told['flush']}: first pick likely {first}\b.* {last} "
        # What was photographed ready is waited for no longer.
        visitor.sees(re.compile(rf"{awaited}|Flush {told['flush']} looked ready"))
        visitor.sees(re.compile(rf"about {value:g} g \({low:g} g to {high:g} g\)"))
        said += 1
    assert said >= 3, "the demo farm has blocks that are still growing"
