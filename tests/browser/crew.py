"""A crew with a phone: what people tap on the field page, said once for tests and pictures."""

from __future__ import annotations

import json
import re
import sqlite3
from pathlib import Path
from typing import Any

from playwright.sync_api import Locator, Page, expect

WORDS = Path(__file__).parents[2] / "src" / "lapwright" / "web" / "static"
SIGNS = ("smoke", "scorch", "glaze", "bubbles", "thinned", "scrim_print", "brittle")


def words(language: str) -> dict[str, str]:
    """All words of the page in a language."""
    folders = ("kit", "field", "field/said", "field/learn")
    lists = [WORDS / folder / f"words.{language}.json" for folder in folders]
    found: dict[str, str] = {}
    for one in lists:
        found |= json.loads(one.read_text(encoding="utf-8"))
    return found


class Phone:
    """One phone on the field page. Every method is what a person does on it."""

    def __init__(self, page: Page, address: str, *, language: str = "en") -> None:
        self.page, self.address = page, address
        self.language, self.words = language, words(language)

    def say(self, key: str) -> re.Pattern[str]:
        """The page's words for a key, whatever stands in their gaps."""
        parts = re.split(r"\{\w+\}", self.words[key])
        return re.compile("^" + ".*".join(map(re.escape, parts)))

    def open(self, path: str = "") -> None:
        """Open the page, or go to one of its screens."""
        self.page.goto(f"{self.address}field/{path}")
        self.page.locator(".kit-screen h1").wait_for()

    def tab(self, name: str) -> None:
        """Tap one of the five words at the bottom."""
        self.page.locator(f"nav a[href='#/{name}']").click()
        expect(self.page.locator(f"nav a[href='#/{name}']")).to_have_attribute(
            "aria-current", "page"
        )

    def main(self, key: str) -> None:
        """Tap the one main action of the screen, which must be this one."""
        button = self.page.locator(".kit-button.main")
        expect(button).to_contain_text(self.say(key))
        expect(button).not_to_have_attribute("aria-disabled", "true")
        button.click()

    def press(self, key: str) -> None:
        """Tap another button."""
        self.button(key).click()

    def button(self, key: str) -> Locator:
        """A button by its words."""
        return (
            self.page.locator("main button, .kit-undo button, dialog button")
            .filter(has_text=re.compile(self.say(key).pattern.removeprefix("^")))
            .first
        )

    def until_so(self, asked: str, *, seconds: float = 30) -> None:
        """Wait until a question to the page's own modules is answered with yes."""
        for _ in range(int(seconds * 5)):
            if self.page.evaluate(asked):
                return
            self.page.wait_for_timeout(200)
        raise AssertionError(f"never so: {asked}")

    def until(self, path: str) -> None:
        """Wait until the page has come to this screen."""
        self.page.wait_for_url(f"**/#/{path}")

    def pick(self, field: str, key: str) -> None:
        """Tap a tile."""
        self.page.locator(f"label:has(#{field}-{key})").click()

    def name(self, field: str, label: str) -> None:
        """Tap the tile of a name."""
        self.page.locator(f"#{field} label").filter(has_text=label).click()

    def fill(self, field: str, text: str) -> None:
        """Type into a field."""
        self.page.locator(f"#{field}").fill(text)

    # --- the day ------------------------------------------------------------------------------

    def new_job(self, name: str) -> None:
        """A practice job of a new name; the phone then asks for people."""
        self.open("#/start/job/new")
        self.fill("job-name", name)
        self.pick("job-invented", "yes")
        self.main("job.keep")
        self.until("start/people")

    def new_person(self, name: str, *tasks: str, language: str = "en", units: str = "us") -> None:
        """Somebody of the crew."""
        self.open("#/start/people/new")
        self.fill("person-name", name)
        for task in tasks:
            self.pick("tasks", task)
        self.pick("language", language)
        self.pick("units", units)
        self.main("person.keep")
        self.until("start/people")

    def crew(self) -> None:
        """Tom welds and signs, Luz probes."""
        tasks = ("weld_field", "weld_detail", "grade", "sign")
        self.new_person("Tom", *tasks, language=self.language)
        self.new_person("Luz", "probe")
        self.main("person.done")
        self.until("start")

    def machine(self, number: str = "3") -> None:
        """The automatic welder of this number."""
        self.open("#/start/machine/new")
        self.fill("machine-number", number)
        self.main("machine.keep")
        self.until("start")

    def sheets(self) -> None:
        """White TPO of the usual thickness."""
        self.open("#/start/pairing/new")
        self.pick("colour", "white")
        self.main("pairing.keep")
        self.until("start")

    def power(self, source: str = "1") -> None:
        """A generator alone, 10 AWG, 100 ft (or the nearest metric size)."""
        self.open("#/start/power/new")
        self.fill("source", source)
        self.pick("dedicated", "yes")
        self.page.locator("#gauge label").nth(2).click()
        self.fill("cord", "100" if self.is_us else "30")
        self.main("power.keep")
        self.until("start")

    @property
    def is_us(self) -> bool:
        """Whether the page shows US units."""
        return self.page.locator("label[for=cord], #cord + span").last.inner_text() != "m"

    def checks(self) -> None:
        """All four looked at, all good."""
        self.open("#/start/checks")
        self.main("checks.all_good")
        self.until("start")

    def conditions(self, ambient: str = "75", sheet: str = "80", *, after: str = "start") -> None:
        """The hour's readings."""
        self.open(f"#/{after}/conditions")
        self.fill("ambient", ambient)
        self.fill("sheet", sheet)
        self.pick("dry", "yes")
        self.pick("clean", "yes")
        self.pick("sun", "sun")
        self.pick("wind", "light")
        self.pick("substrate", "foam")
        self.main("conditions.keep")
        self.until(after)

    def start_day(self, job: str = "Invented school") -> None:
        """All of the start screen."""
        self.new_job(job)
        self.crew()
        self.machine()
        self.sheets()
        self.power()
        self.checks()
        self.conditions()

    def weld(
        self, air: str, pulls: str, *, sign: str | None = None, speed: str | None = None
    ) -> None:
        """One test weld from the setting to its last strip: ``ccc`` cold, ``pf`` partial, full."""
        self.tab("test")
        self.open("#/test/weld")
        self.fill("air", air)
        if speed:
            self.fill("speed", speed)
        self.main("test.welded")
        self.look(sign)
        self.strips(pulls)
        self.main("strips.done")
        self.until("test")
        expect(self.page.locator("#next-setting, .blade").first).to_be_visible()

    def look(self, sign: str | None = None) -> None:
        """The corner pulled hot, then the seven signs."""
        self.pick("corner", "holds")
        if sign is None:
            self.main("look.none")
            return
        self.press("look.one_by_one")
        for each in SIGNS:
            self.pick(each, "yes" if each == sign else "no")
        self.main("look.keep")

    def strips(self, pulls: str) -> None:
        """One tap a strip."""
        for place, letter in enumerate(pulls, start=1):
            grade = {"c": "cold", "p": "partial", "f": "full"}[letter]
            self.page.locator(f"#pull-{grade}").click()
            expect(self.page.locator(".graded button")).to_have_count(place)

    def ladder(self) -> None:
        """The practice ladder: cold, bottom, three sound, hot, and one more near the middle."""
        for air, pulls, sign in (
            ("600", "ccc", None), ("700", "pfp", None), ("800", "fff", None),
            ("900", "fff", None), ("1000", "fff", None), ("1140", "fff", "glaze"),
            ("860", "fff", None),
        ):  # fmt: skip
            self.weld(air, pulls, sign=sign)

    def decide(self) -> None:
        """Sign for the set point that is offered."""
        self.open("#/test/decide")
        action = self.page.locator(".kit-button.main")
        if self.say("decide.accept_unproved").search(action.inner_text()):
            self.pick("reason", "experience")
        action.click()
        self.until("run")

    def run(self, seam: str, start: str, end: str) -> None:
        """A run on a seam, from station to station."""
        self.tab("run")
        self.fill("seam", seam)
        self.fill("station", start)
        self.main("run.start")
        self.main("run.stop")
        self.fill("station", end)
        self.main("run.stop_keep")
        self.until("run")

    def probe(self, seam: str, *, by: str = "Luz") -> None:
        """The whole seam probed, nothing found."""
        self.open(f"#/probe/walk/{seam}")
        self.name("prober", by)
        self.main("probe.none_found")
        self.until("probe")

    # --- what the phone holds -----------------------------------------------------------------

    def facts(self) -> list[dict[str, Any]]:
        """All facts this phone knows of its job."""
        return list(self.page.evaluate(
            """async () => {
                const { facts } = await import('/field/app.js');
                return [...facts.value.values()];
            }"""
        ))  # fmt: skip

    def kinds(self) -> list[str]:
        """Their kinds, in the order of the alphabet."""
        return sorted(fact["kind"] for fact in self.facts())

    def unsent(self) -> int:
        """How many facts and photos wait for a receipt."""
        return int(self.page.evaluate(
            """async () => {
                const { outbox } = await import('/field/app.js');
                const { facts, photos } = await outbox.pending();
                return facts.length + photos.length;
            }"""
        ))  # fmt: skip

    def until_sent(self) -> None:
        """Wait until everything has its receipt."""
        expect(self.page.locator(".line .kit-count.some")).to_have_count(0, timeout=30_000)
        none = "0" + self.words["line.all_sent"]
        expect(self.page.locator(".line .kit-count")).to_have_text(none)


def kept(database: Path) -> list[dict[str, Any]]:
    """The facts of every job that a server's store holds, straight from its file."""
    with sqlite3.connect(f"file:{database}?mode=ro", uri=True) as store:
        return [json.loads(row[0]) for row in store.execute("select fact from facts")]
