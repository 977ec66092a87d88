"""What a grower does with the phone, by the words on the screen."""

import re
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Self

from playwright.sync_api import Locator, Page, expect

from tests.browser.phones import BrowserPhone

OLGA = {"name": "Olga", "email": "olga@example.org", "password": "four ladders and a lamp"}


@dataclass
class Grower:
    phone: BrowserPhone

    @property
    def page(self) -> Page:
        return self.phone.page

    def taps(self, name: str | re.Pattern[str]) -> Self:
        """A tap on the button or link that bears this name."""
        self.page.get_by_role("button", name=name).or_(self.page.get_by_role("link", name=name)).first.click()
        return self

    def fills(self, label: str, text: str) -> Self:
        self.page.get_by_label(label, exact=True).first.fill(text)
        return self

    def goes(self, where: str) -> Self:
        """A tap in the row of rooms at the bottom."""
        self.page.get_by_role("navigation").get_by_role("link", name=where, exact=True).click()
        return self

    def sees(self, words: str | re.Pattern[str]) -> Self:
        expect(self.page.get_by_text(words).first).to_be_visible()
        return self

    @property
    def strip(self) -> Locator:
        return self.page.locator("a.strip")

    def reads_on_the_strip(self, words: str | re.Pattern[str]) -> Self:
        expect(self.strip).to_contain_text(words)
        return self

    def has_sent_everything(self) -> Self:
        return self.reads_on_the_strip("All sent")

    def tries_now(self) -> Self:
        self.strip.click()
        return self.taps("Try now")

    def starts_a_farm(self, code: str) -> Self:
        self.taps("Start my farm").fills("Set-up code", code).fills("Name of the farm", "Alder Yard")
        self.fills("Your name", OLGA["name"]).fills("E-mail", OLGA["email"]).fills(
            "Password", OLGA["password"]
        )
        self.page.get_by_role("button", name="Start", exact=True).click()
        return self.sees("Write down a delivery")

    def signs_in(self) -> Self:
        self.page.get_by_label("E-mail").or_(
            self.page.get_by_role("button", name=re.compile("sign in", re.I))
        ).first.wait_for()
        if self.page.get_by_label("E-mail").count() == 0:
            self.taps(re.compile("sign in", re.I))
        self.fills("E-mail", OLGA["email"]).fills("Password", OLGA["password"])
        self.page.get_by_role("button", name="Sign in", exact=True).click()
        return self

    def is_ready_for_no_signal(self) -> Self:
        """The service worker has the whole app."""
        self.page.evaluate("() => navigator.serviceWorker.ready.then(() => true)")
        return self

    def writes_down_a_delivery(self, blocks: int = 2, stated_dry: str = "") -> list[str]:
        """Grey oyster blocks of 3 kg from Three Larches; returns their labels."""
        self.goes("Blocks").taps(re.compile("delivery", re.I))
        self.fills("Supplier", "Three Larches").fills("Lot, as printed", "TL-0412")
        self.page.get_by_label("Species").first.select_option(label="Oyster (Pleurotus ostreatus)")
        self.fills("Your name for it", "Grey oyster").fills("How many blocks", str(blocks))
        self.fills("Wet mass of each", "3 kg")
        if stated_dry:
            self.page.get_by_label("How do you know its dry mass?").select_option("stated")
            self.fills("Dry mass of one block", stated_dry)
        self.taps(re.compile(r"^Save"))
        self.sees("Write each label on its block")
        made = self.page.locator(".made .label")
        expect(made).to_have_count(blocks)
        return [re.sub(r"\W", "", text)[:5] for text in made.all_inner_texts()]

    def opens_block(self, label: str) -> Self:
        self.goes("Blocks")
        # A label is spelt for those who listen: "7 K Q 4 M".
        self.page.get_by_role("link", name=" ".join(label)).first.click()
        return self

    def presses(self, digits: str) -> Self:
        """On the app's own number pad."""
        for digit in digits:
            key = "Decimal mark" if digit == "." else digit
            self.page.locator(".pad").get_by_role("button", name=key, exact=True).click()
        return self

    def takes_a_photo(self, picture: Path) -> Self:
        self.page.locator("input[type=file]").first.set_input_files(picture)
        self.page.get_by_text("taken; take another").first.wait_for(state="attached")
        return self

    def saves(self) -> Self:
        self.taps(re.compile(r"^Save"))
        return self

    def records(self) -> dict[str, Any]:
        """What lies in the phone's database, by store."""
        return dict(self.page.evaluate(READ_DATABASE))


READ_DATABASE = """
async () => {
  const found = (await indexedDB.databases()).find(({ name }) => name.startsWith("harvestlog/"));
  const db = await new Promise((resolve, reject) => {
    const opening = indexedDB.open(found.name);
    opening.onsuccess = () => resolve(opening.result);
    opening.onerror = () => reject(opening.error);
  });
  const all = (store) => new Promise((resolve, reject) => {
    const asked = db.transaction(store).objectStore(store).getAll();
    asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => reject(asked.error);
  });
  const read = {};
  for (const store of ["confirmed", "outbox", "parked", "sent"]) read[store] = await all(store);
  read.photos = (await all("photos")).map(({ sha256, bytes }) => [sha256, bytes.byteLength]);
  db.close();
  return read;
}
"""
