"""Practice on the phone: late to load, blind, worked by keyboard, and never a record."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect
from tests.browser.crew import Phone
from tests.browser.field.test_gloves import SIZES, small, violations

Opened = Callable[..., Phone]


def to_practice(tom: Phone) -> None:
    """By the way that people take: today, practice."""
    tom.open("#/today")
    tom.press("learn.title")
    tom.until("today/learn")
    expect(tom.page.locator(".kit-rows button")).to_have_count(3)


def begin(tom: Phone, name: str) -> None:
    """Tap one of the three."""
    to_practice(tom)
    tom.page.locator(".kit-rows button", has_text=tom.words[f"learn.{name}"]).click()


def grade_all(tom: Phone, *, kind: str = "pull", answer: int = -1) -> None:
    """Give every strip the same answer: the first, or "cannot tell", the last."""
    for place in range(1, 11):
        title = tom.words["learn.strip"].format(place=place, of=10)
        expect(tom.page.locator("h1")).to_have_text(title)
        tom.page.locator("main .kit-buttons button").nth(answer).click()
    tom.until(f"today/learn/{kind}/11")


def hand_in(tom: Phone, *, kind: str = "pull") -> None:
    """See the marks."""
    tom.main("learn.hand_in")
    tom.until(f"today/learn/marks/{kind}")
    expect(tom.page.locator("h2").first).to_be_visible()


def set_machine(tom: Phone, air: str, speed: str) -> None:
    """Air and speed of the next weld."""
    tom.fill("air", air)
    tom.fill("speed", speed)


def test_practice_is_loaded_when_it_is_opened(phone: Opened) -> None:
    """The day begins without a byte of it; its first screen brings code and words."""
    tom = phone(service_workers="block")
    asked: list[str] = []
    tom.page.on("request", lambda request: asked.append(request.url))
    tom.open("#/start")
    tom.open("#/today")
    assert not [url for url in asked if "/learn/" in url]
    to_practice(tom)
    names = {url.rpartition("/learn/")[2] for url in asked if "/learn/" in url}
    assert {"routes.js", "words.en.json", "words.es.json"} <= names


@pytest.mark.parametrize("language", ["en", "es"])
def test_ten_strips_to_their_marks(phone: Opened, language: str) -> None:
    """One at a time, back to change, marks for all, another ten begins anew."""
    tom = phone(language=language)
    begin(tom, "pull")
    grade_all(tom)
    tom.page.locator(".kit-screen header button").first.click()  # back to the tenth
    tom.until("today/learn/pull/10")
    expect(tom.page.locator("main .kit-buttons button").last.locator("svg")).to_have_count(1)
    tom.page.locator("main .kit-buttons button").last.click()
    hand_in(tom)
    expect(tom.page.locator("h1")).to_have_text("0 of 10 right." if language == "en"
                                                else "0 de 10 acertadas.")  # fmt: skip
    expect(tom.page.locator("main img.drawn")).to_have_count(10)
    expect(tom.page.locator("ul.plain li")).to_have_count(6)  # one line for each grade missed
    first = tom.page.locator("main img.drawn").first.get_attribute("src")
    tom.main("learn.again")
    tom.until("today/learn/pull/1")
    expect(tom.page.locator("main .kit-buttons button svg")).to_have_count(0)
    assert tom.page.locator("main img.drawn").first.get_attribute("src") != first


def test_the_marks_come_after_the_last_answer_only(phone: Opened) -> None:
    """Until then no answer of the server holds a grade of any strip."""
    tom = phone()
    bodies: list[str] = []
    tom.page.on(
        "response", lambda one: bodies.append(one.text()) if "/api/quiz" in one.url else None
    )
    begin(tom, "pull")
    grade_all(tom)
    assert len(bodies) == 1
    assert '"truth"' not in bodies[0]
    hand_in(tom)
    assert '"truth"' in bodies[-1]


def test_a_strip_that_was_skipped_is_asked_for(phone: Opened) -> None:
    """An address typed past a strip does not get round it."""
    tom = phone()
    begin(tom, "look")
    tom.page.locator("img.drawn").wait_for()
    tom.open("#/today/learn/look/11")
    expect(tom.page.locator(".kit-button.main")).to_have_attribute("aria-disabled", "true")
    expect(tom.page.locator("main .kit-press")).to_have_count(10)


def test_the_keyboard_alone_grades_a_quiz(phone: Opened) -> None:
    """Each strip takes the keyboard to its title; Tab and Enter do the rest."""
    tom = phone()
    begin(tom, "pull")
    for place in range(1, 11):
        tom.until(f"today/learn/pull/{place}")
        expect(tom.page.locator("h1")).to_be_focused()
        tom.page.locator("main .kit-buttons button").first.wait_for()
        for _ in range(8):
            tom.page.keyboard.press("Tab")
            if tom.page.evaluate("Boolean(document.activeElement.closest('main .kit-buttons'))"):
                break
        tom.page.keyboard.press("Enter")
    tom.until("today/learn/pull/11")


def test_who_cannot_see_hears_what_is_to_be_seen(phone: Opened) -> None:
    """Every picture has words; none of them is one of the answers."""
    tom = phone()
    begin(tom, "pull")
    heard = set()
    for place in range(1, 11):
        expect(tom.page.locator("h1")).to_have_text(f"Strip {place} of 10")
        picture = tom.page.locator("img.drawn")
        picture.wait_for()
        words = picture.get_attribute("alt") or ""
        answers = tom.page.locator("main .kit-buttons button").all_inner_texts()
        assert not [answer for answer in answers if f" {answer} " in f" {words.lower()} "]
        assert tom.page.evaluate("document.querySelector('img.drawn').naturalWidth") > 0
        heard.add(words)
        tom.page.locator("main .kit-buttons button").first.click()
    assert len(heard) >= 6


def test_grades_are_saved_for_the_desk(phone: Opened, tmp_path: Path) -> None:
    """A CSV file with the columns that ``lapwright agreement`` reads, one row a strip."""
    tom = phone()
    begin(tom, "pull")
    grade_all(tom, answer=0)
    hand_in(tom)
    with tom.page.expect_download() as download:
        tom.press("learn.save")
    file = tmp_path / "grades.csv"
    download.value.save_as(file)
    lines = file.read_text(encoding="utf-8").splitlines()
    assert lines[0] == "strip,grader,grade"
    assert len(lines) == 11
    assert {line.rpartition(",")[2] for line in lines[1:]} == {"cold"}
    assert "practice" in download.value.suggested_filename


def test_a_morning_on_a_hidden_site(phone: Opened) -> None:
    """Weld, look, let cool, decide, see the truth; in Spanish and metric, and nothing recorded."""
    tom = phone(language="es")
    tom.start_day()
    tom.open("#/today/settings")
    tom.pick("units", "metric")
    before = [fact["id"] for fact in tom.facts()]
    begin(tom, "morning")
    set_machine(tom, "370", "3")
    tom.main("learn.weld")
    tom.until("today/learn/morning/look")
    tom.press("learn.look_now")
    tom.until("today/learn/morning")
    expect(tom.page.locator("main img.drawn")).to_have_count(6)
    expect(tom.page.locator(".kit-rows li")).to_have_count(1)
    expect(tom.page.locator(".kit-rows li")).to_contain_text("370 °C, 3,00 m/min")
    set_machine(tom, "500", "3")
    tom.main("learn.weld")
    tom.press("learn.let_cool")
    tom.until("today/learn/morning")
    expect(tom.page.locator("main img.drawn")).to_have_count(3)
    expect(tom.page.locator(".kit-rows li").last).to_contain_text("nadie miró")
    expect(tom.page.locator("main")).not_to_contain_text(tom.words["learn.truth"])
    tom.press("learn.decide")
    set_machine(tom, "440", "3")
    tom.main("learn.set")
    tom.until("today/learn/morning/end")
    expect(tom.page.locator("main")).to_contain_text("Usted fijó 440 °C, 3,00 m/min.")
    expect(tom.page.locator("main")).to_contain_text("Sus soldaduras de prueba: 2.")
    tom.press("learn.same")
    tom.until("today/learn/morning")
    expect(tom.page.locator(".kit-rows li")).to_have_count(0)
    assert [fact["id"] for fact in tom.facts()] == before


def test_not_known_yet_ends_a_morning(phone: Opened) -> None:
    """An answer like any other, without a single weld."""
    tom = phone()
    begin(tom, "morning")
    tom.press("learn.decide")
    tom.press("learn.not_known")
    tom.until("today/learn/morning/end")
    expect(tom.page.locator("main")).to_contain_text("You said: not known yet.")
    expect(tom.page.locator("main")).to_contain_text("No test weld was made")


def test_without_a_signal_it_says_so(phone: Opened, crewed: Any) -> None:
    """The screens are on the phone; what they need of the server is missed in one sentence."""
    tom = phone()
    tom.page.evaluate("navigator.serviceWorker.ready.then(() => true)")  # the shell is on the phone
    begin(tom, "morning")
    set_machine(tom, "700", "10")
    crewed.kill()
    tom.main("learn.weld")
    tom.press("learn.look_now")
    alert = tom.page.locator("[role=alert]", has_text=tom.words["learn.no_signal"])
    expect(alert).to_be_visible()
    tom.open("#/today/learn")
    tom.page.locator(".kit-rows button", has_text=tom.words["learn.pull"]).click()
    expect(alert).to_be_visible()
    crewed.start()
    tom.open("#/today/learn/morning/look")
    tom.press("learn.look_now")
    tom.until("today/learn/morning")
    expect(tom.page.locator(".kit-rows li")).to_have_count(1)  # what was set was not lost


def walk(tom: Phone) -> Any:
    """Every screen of practice with something on it."""
    to_practice(tom)
    yield "learn"
    begin(tom, "look")
    tom.page.locator("img.drawn").wait_for()
    yield "look"
    begin(tom, "pull")
    tom.page.locator("img.drawn").wait_for()
    yield "pull"
    grade_all(tom)
    yield "all"
    hand_in(tom)
    yield "marks"
    begin(tom, "morning")
    set_machine(tom, "850", "10")
    yield "morning"
    tom.main("learn.weld")
    tom.until("today/learn/morning/look")
    yield "hot"
    tom.press("learn.look_now")
    tom.until("today/learn/morning")
    tom.page.locator("img.drawn").first.wait_for()
    yield "welded"
    tom.press("learn.decide")
    tom.until("today/learn/morning/decide")
    yield "decide"
    tom.main("learn.set")
    tom.until("today/learn/morning/end")
    yield "end"


@pytest.mark.parametrize("is_sunny", [False, True], ids=["plain", "sun"])
@pytest.mark.parametrize("language", ["en", "es"])
def test_every_screen_keeps_the_rules_of_sun_and_gloves(
    phone: Opened, language: str, is_sunny: bool
) -> None:
    """Marked as practice on each; no sideways scrolling, targets of 48 px, text of 16 px, and no
    rule of axe-core broken."""
    tom = phone(language=language)
    if is_sunny:
        tom.open("#/today/settings")
        tom.pick("sun", "on")
    faults: list[str] = []
    for name in walk(tom):
        expect(tom.page.locator(".kit-banner").first).to_have_text(tom.words["learn.mark"])
        faults += [f"{name}: {text}" for text in violations(tom.page)]
        for width, height in SIZES:
            tom.page.set_viewport_size({"width": width, "height": height})
            wide = tom.page.evaluate("document.documentElement.scrollWidth")
            faults += [f"{name}: {wide} px wide at {width}"] * (wide > width)
            faults += [f"{name} at {width}: {text}" for text in small(tom.page)]
        tom.page.set_viewport_size({"width": 360, "height": 740})
    assert faults == []
