"""A technician at the page: clicks what a person sees, types what a gauge shows."""

import re

from playwright.sync_api import Locator, Page, expect

from ringland.web.templating import url


class Technician:
    """Works at job 1 with one page."""

    def __init__(self, page: Page, job: str = "1") -> None:
        self.page, self.job = page, job

    def open(self, *parts: str, condition: str = "") -> None:
        """Open a page of the job by its name."""
        query = f"?condition={condition.replace(' ', '%20')}" if condition else ""
        self.page.goto(url("job", self.job, *parts) + query)

    def press(self, name: str, *, within: Locator | None = None) -> str:
        """Press a button and return what the page answers."""
        place = within if within is not None else self.page.locator("main")
        button = place.get_by_role("button", name=name, exact=True, include_hidden=True).first
        button.wait_for(state="attached")
        if not button.is_visible():  # folded away
            button.locator("xpath=ancestor::details[1]/summary").click()
        self.seen()
        button.click()
        return self.answer()

    def seen(self) -> None:
        """Mark the answer that stands, so that the next one is told from it."""
        self.page.evaluate(
            "document.querySelectorAll('[data-focus]').forEach(e => { e.dataset.seen = '1' })"
        )

    def answer(self) -> str:
        """Return what the page says became of the act."""
        said = self.page.locator("main [data-focus]:not([data-seen])").first
        expect(said).to_be_visible()
        text: str = said.inner_text()
        return text

    def tick(self, phase_words: str) -> str:
        """Tick what can be ticked of a phase, on the plan."""
        self.open("plan")
        return self.press(f"Tick what can be ticked of: {phase_words}")

    def done(self, step: str) -> str:
        """Tick one step on its own page."""
        self.open("step", step)
        return self.press("Done")

    def count(self, part: str, side: str, number: int) -> str:
        """Count a part on its own page."""
        self.open("part", part)
        row = self.page.locator(f'[data-act-name="{part} {side}"]')
        row.get_by_label("Counted").fill(str(number))
        return self.press("Count", within=row)

    def read(self, check: str, value: str, *, press: str = "Keep the reading", **more: str) -> str:
        """Take one reading; more: condition, place."""
        self.open("check", check, condition=more.get("condition", ""))
        if more.get("place"):
            self.page.locator(".tabs a", has_text=re.compile(f"^{more['place']}")).first.click()
            expect(self.page.locator("main h1")).to_contain_text(f"at {more['place']}")
        self.page.locator("#value").fill(value)
        return self.press(press)

    def feel(self, check: str, press: str = "Good", *, condition: str = "") -> str:
        """Judge a check by eye or feel."""
        self.open("check", check, condition=condition)
        return self.press(press)

    def pull_all(self, group: str, wrench: str, *, stages: int) -> str:
        """Tap each fastener of a group in its order, stage by stage."""
        self.page.goto(url("job", self.job, "tighten", group) + f"?wrench={wrench}")
        said = ""
        for _ in range(stages):
            while True:
                button = self.page.locator("main button.main[name=positions]")
                if not button.count():
                    return said
                self.seen()
                button.click()
                said = self.answer()
        return said
