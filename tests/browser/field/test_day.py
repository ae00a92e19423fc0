"""Days on the roof: no signal, dead servers, wrong clocks, full phones. Nothing lost or doubled."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import expect
from tests.browser.crew import Phone, kept

Opened = Callable[..., Phone]
TABLE = """import('/field/app.js').then(({ fits }) =>
    Object.values(fits.value).some((fit) => fit.table && fit.answer))"""
WHOLE = {  # what a practice morning leaves: job, crew, set-up, seven welds, a set point, a run
    "job": 1, "person": 2, "machine": 1, "lot": 1, "pairing": 1, "power_setup": 1,
    "nozzle_setup": 1, "conditions": 1, "test_weld": 7, "hot_look": 7, "strip": 21,
    "decision": 1, "run": 1, "run_end": 1, "probe": 1,
}  # fmt: skip


def counted(facts: list[dict[str, Any]]) -> dict[str, int]:
    """How many facts of each kind, after every id came once."""
    assert len({fact["id"] for fact in facts}) == len(facts)
    return dict(Counter(fact["kind"] for fact in facts))


def held(phone: Phone) -> None:
    """The page is kept by its worker: from here on it opens without a connection."""
    phone.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    phone.until_so("caches.match('/field/main.js').then((found) => Boolean(found))")


def test_a_whole_morning_without_a_signal(phone: Opened, crewed: Any) -> None:
    """Server gone after the set-up: welds, set point, run and probing, with a reload and the page
    closed in between; then all of it arrives once, and the phone's set point says whose it is."""
    tom = phone()
    tom.start_day()
    tom.until_sent()
    tom.until_so(TABLE)
    held(tom)
    crewed.kill()
    for number, (air, pulls, sign) in enumerate(
        (("600", "ccc", None), ("700", "pfp", None), ("800", "fff", None), ("900", "fff", None),
         ("1000", "fff", None), ("1140", "fff", "glaze"), ("860", "fff", None))
    ):  # fmt: skip
        tom.weld(air, pulls, sign=sign)
        if number == 2:
            tom.page.reload()
        if number == 4:  # the phone closes the page
            context = tom.page.context
            tom.page.close()
            tom.page = context.new_page()
            tom.open()
    tom.open("#/test")
    expect(tom.page.locator(".whose.phone")).to_contain_text(tom.words["by.phone"])
    expect(tom.page.locator("#set-point")).to_have_text(re.compile(r"\d{3} °F"))
    tom.decide()
    tom.run("A-S001", "0", "120")
    tom.probe("A-S001")
    assert counted(tom.facts()) == WHOLE
    assert tom.unsent() == 7 + 7 + 21 + 4

    crewed.start()
    tom.tab("today")
    tom.main("line.send")
    tom.until_sent()
    assert counted(kept(crewed.database)) == WHOLE
    (decision,) = [fact for fact in kept(crewed.database) if fact["kind"] == "decision"]
    assert decision["body"]["worked_out"] == "phone"
    assert len(decision["body"]["question"]["welds"]) == 7
    crewed.verify()


def test_the_server_has_the_second_word(phone: Opened, crewed: Any) -> None:
    """A set point of the phone's own is shown beside the full fit on contact; who signs for that
    leaves both decisions in the record."""
    tom = phone()
    tom.start_day()
    tom.until_sent()
    tom.until_so(TABLE)
    held(tom)
    crewed.kill()
    tom.ladder()
    tom.decide()
    crewed.start()
    tom.tab("today")
    tom.main("line.send")
    tom.until_sent()
    tom.tab("run")
    tom.press("run.second_word.look")
    expect(tom.page.locator(".whose")).to_contain_text(tom.words["by.server"])
    tom.main("decide.accept")
    tom.until("run")
    tom.until_sent()
    decisions = [fact["body"] for fact in kept(crewed.database) if fact["kind"] == "decision"]
    assert [one["worked_out"] for one in decisions] == ["phone", "server"]
    assert all(one["accepted"] for one in decisions)


def test_a_connection_that_comes_twice(phone: Opened, crewed: Any) -> None:
    """Answers that never arrive are asked for again: the server says "had", nothing doubles."""
    tom = phone()
    tom.new_job("Invented hall")
    lost: list[str] = []

    def swallow(route: Any) -> None:
        if route.request.method == "POST" and len(lost) < 2:
            route.fetch()  # it reaches the server, its answer does not reach the phone
            lost.append(route.request.url)
            route.abort()
        else:
            route.continue_()

    tom.page.route("**/facts*", swallow)
    tom.crew()
    tom.machine()
    tom.until_sent()
    assert len(lost) == 2
    assert counted(kept(crewed.database)) == {"job": 1, "person": 2, "machine": 1}
    crewed.verify()


def test_what_others_set_up_is_offered_when_it_arrives(phone: Opened) -> None:
    """A phone that knows the job before its facts takes the last machine once they are here."""
    luz = phone()
    waiting: list[Any] = []
    luz.page.route("**/facts?*", lambda route: waiting.append(route))
    tom = phone()
    tom.start_day()
    tom.until_sent()
    luz.page.reload()
    luz.until_so("import('/field/app.js').then(({ chosen }) => Boolean(chosen.value.job))")
    luz.open("#/start")
    expect(luz.page.locator(".kit-rows")).not_to_contain_text("No. 3")
    assert waiting
    luz.page.unroute("**/facts?*")  # what waited goes on
    expect(luz.page.locator(".kit-rows")).to_contain_text("No. 3", timeout=30_000)


def test_two_phones_see_each_other_within_seconds(phone: Opened, crewed: Any) -> None:
    """What one records shows on the other by itself; both record at once, and both agree."""
    tom, luz = phone(), phone()
    tom.start_day()
    tom.until_sent()
    luz.page.reload()
    luz.open("#/start")
    expect(luz.page.locator(".kit-rows")).to_contain_text("Invented school", timeout=15_000)
    luz.open("#/start/people")
    luz.name("person", "Luz")
    luz.name("operator", "Tom")
    tom.weld("600", "ccc")
    luz.open("#/test")
    expect(luz.page.locator(".kit-rows")).to_contain_text("600 °F", timeout=15_000)
    tom.open("#/run")
    tom.fill("seam", "A-S009")
    luz.open("#/probe/t-joint")
    luz.fill("t-joint", "A-T-S009-10")
    tom.main("run.start")
    luz.main("t_joint.keep")
    luz.open("#/probe")
    expect(luz.page.locator("main")).to_contain_text("A-S009", timeout=15_000)
    tom.until_sent()
    luz.until_sent()
    tom.until_so(
        """import('/field/app.js').then(({ facts }) =>
            [...facts.value.values()].some(({ kind }) => kind === "t_joint"))"""
    )
    same = sorted(fact["id"] for fact in kept(crewed.database))
    assert sorted(fact["id"] for fact in tom.facts()) == same
    assert sorted(fact["id"] for fact in luz.facts()) == same


def test_a_server_killed_in_the_middle_of_a_sync(phone: Opened, crewed: Any) -> None:
    """Killed while facts are on their way, ten times over: after the last start all are there."""
    tom = phone()
    tom.new_job("Invented store")
    tom.crew()
    tom.machine()
    tom.open("#/probe/t-joint")
    for number in range(10):
        tom.fill("t-joint", f"A-T-S001-{number}")
        tom.main("t_joint.keep")
        expect(tom.page.locator("#t-joint")).to_have_value("")
        crewed.kill()
        crewed.start()
    tom.tab("today")
    tom.page.evaluate("import('/field/live.js').then(({ nudge }) => nudge())")
    tom.until_sent()
    assert counted(kept(crewed.database))["t_joint"] == 10
    crewed.verify()


def test_a_phone_that_is_a_day_off(phone: Opened, crewed: Any) -> None:
    """Its facts stand at the right hour, with its own clock beside it, and it says so."""
    behind = """
        const Real = Date; const off = -86400000;
        globalThis.Date = class extends Real {
            constructor(...given) { given.length ? super(...given) : super(Real.now() + off); }
            static now() { return Real.now() + off; }
        };"""
    tom = phone(before=behind)
    tom.until_so("import('/field/clock.js').then(({ clock }) => clock.skew > 86_000_000)")
    tom.start_day()
    tom.weld("600", "ccc")
    tom.open("#/today")
    expect(tom.page.locator("main")).to_contain_text("1440 min")
    tom.until_sent()
    (weld,) = [fact for fact in kept(crewed.database) if fact["kind"] == "test_weld"]
    at, entered = weld["at"], weld["entered_at"]
    days = tom.page.evaluate("([a, b]) => (Date.parse(a) - Date.parse(b)) / 864e5", [at, entered])
    assert days == pytest.approx(1, abs=0.01)
    crewed.verify()


def test_a_phone_without_room(phone: Opened, crewed: Any) -> None:
    """Full storage is told at once; the fact is sent while the page lives, or saved as a file."""
    tom = phone()
    tom.new_job("Invented barn")
    tom.crew()
    tom.machine()
    tom.until_sent()
    crewed.kill()
    tom.page.evaluate(
        """() => { IDBObjectStore.prototype.put = () => {
            throw new DOMException("no room", "QuotaExceededError"); }; }"""
    )
    tom.page.evaluate("location.hash = '#/probe/t-joint'")
    tom.fill("t-joint", "A-T-S001-7")
    tom.main("t_joint.keep")
    expect(tom.page.get_by_role("alert")).to_contain_text(tom.words["full"])
    tom.tab("today")
    with tom.page.expect_download() as download:
        tom.press("line.save_file")
    assert "A-T-S001-7" in download.value.path().read_text(encoding="utf-8")
    crewed.start()
    tom.main("line.send")
    tom.until_sent()
    assert counted(kept(crewed.database))["t_joint"] == 1


def test_a_photo_of_twelve_megabytes(phone: Opened, crewed: Any) -> None:
    """It is drawn smaller before it is kept, waits on the phone, and arrives under its hash."""
    tom = phone()
    tom.start_day()
    tom.open("#/test/weld")
    tom.main("test.welded")
    tom.look()
    tom.strips("f")
    tom.until_sent()
    held(tom)
    crewed.kill()
    tom.page.locator(".graded button").first.click()
    tom.page.locator("#strip-photo").wait_for(state="attached")
    size = tom.page.evaluate(
        """async () => {
            const canvas = document.createElement("canvas");
            [canvas.width, canvas.height] = [4000, 3000];
            const pen = canvas.getContext("2d");
            const noise = pen.createImageData(4000, 3000);
            for (let n = 0; n < noise.data.length; n += 65536)
                crypto.getRandomValues(noise.data.subarray(n, n + 65536));
            for (let n = 3; n < noise.data.length; n += 4) noise.data[n] = 255;
            pen.putImageData(noise, 0, 0);
            const blob = await new Promise((done) => canvas.toBlob(done, "image/jpeg", 0.96));
            const picked = new DataTransfer();
            picked.items.add(new File([blob], "strip.jpg", { type: "image/jpeg" }));
            const input = document.querySelector("#strip-photo");
            input.files = picked.files;
            input.dispatchEvent(new Event("change", { bubbles: true }));
            return blob.size;
        }"""
    )
    assert size > 12_000_000
    tom.page.locator("#photo-kept").wait_for()
    tom.page.keyboard.press("Escape")
    assert tom.unsent() == 2
    crewed.start()
    tom.page.reload()
    tom.until_sent()
    (photo,) = [fact for fact in kept(crewed.database) if fact["kind"] == "photo"]
    address = f"api/jobs/{photo['job']}/photos/{photo['body']['file']}"
    size = tom.page.evaluate(
        """async (path) => {
            const blob = await (await fetch(path)).blob();
            const { width, height } = await createImageBitmap(blob);
            return [blob.size, width, height];
        }""",
        f"/{address}",
    )
    assert size[1:] == [2048, 1536]
    assert size[0] < 12_000_000


def test_a_morning_in_spanish_and_metric(phone: Opened, crewed: Any) -> None:
    """Typed in °C, m/min and m, read in Spanish; kept as typed, with the unit it was typed in."""
    luz = phone(language="es")
    luz.open("#/today/settings")
    luz.pick("units", "metric")
    luz.new_job("Escuela inventada")
    luz.new_person("Luz", "weld_field", "sign", language="es", units="metric")
    luz.main("person.done")
    luz.until("start")
    luz.machine()
    luz.sheets()
    luz.power()
    luz.checks()
    luz.conditions("24", "27")
    for air, pulls, sign in (("315", "ccc", None), ("430", "fff", None), ("615", "fff", "smoke")):
        luz.weld(air, pulls, sign=sign, speed="3,1")
    expect(luz.page.locator("#next-setting, #set-point").first).to_have_text(
        re.compile(r"\d{3} °C.*\d,\d+ m/min")
    )
    expect(luz.page.locator("html")).to_have_attribute("lang", "es")
    luz.until_sent()
    speeds = [f["body"]["speed"] for f in kept(crewed.database) if f["kind"] == "test_weld"]
    assert speeds == [{"typed": "3.1", "unit": "m_min", "how": "set"}] * 3


def test_undo_takes_back_and_keeps_in_sight(phone: Opened, crewed: Any) -> None:
    """One tap takes the last thing back by a fact of its own; the list shows both."""
    tom = phone()
    tom.start_day()
    tom.open("#/test/weld")
    tom.main("test.welded")
    tom.look()
    tom.strips("f")
    tom.press("kit.undo")
    expect(tom.page.locator(".graded button")).to_have_count(0)
    tom.open("#/today/list")
    expect(tom.page.locator(".kit-rows")).to_contain_text(tom.words["list.withdrawn"])
    tom.until_sent()
    facts = counted(kept(crewed.database))
    assert (facts["strip"], facts["correction"]) == (1, 1)


def test_not_trusting_it_stops_until_a_test_passes(phone: Opened) -> None:
    """ "I do not trust it" stands above all else; no reason overrules it, a passing weld does."""
    tom = phone()
    tom.start_day()
    tom.weld("860", "fff")
    tom.open("#/run")
    tom.press("doubt")
    expect(tom.page.locator(".kit-banner.stop")).to_contain_text(tom.words["trigger.doubt"])
    tom.press("again.answer")
    tom.until("run/again")
    expect(tom.page.locator("main")).to_contain_text(tom.words["again.doubt"])
    expect(tom.page.locator("#again-reason")).to_have_count(0)
    tom.weld("870", "fff")
    tom.open("#/run")
    expect(tom.page.locator("#in-force")).to_be_visible()
    expect(tom.page.locator(".kit-banner.stop")).to_have_count(0)


def test_a_defect_closes_with_a_second_look_by_another(phone: Opened, crewed: Any) -> None:
    """Marked, repaired by one, probed by another: open until then, and only then closed."""
    tom = phone()
    tom.start_day()
    tom.run("A-S001", "0", "50")
    tom.open("#/probe/defect/A-S001")
    tom.fill("station", "12")
    tom.main("defect.keep")
    tom.until("probe")
    tom.page.locator(".kit-rows button").first.click()
    tom.name("repair-operator", "Tom")
    tom.main("repair.keep")
    tom.until("probe")
    expect(tom.page.locator("main")).to_contain_text(tom.words["defect.repaired"])
    tom.page.locator(".kit-rows button").first.click()
    expect(tom.page.locator("#prober label")).to_have_count(1)  # Tom repaired it: not he
    tom.name("prober", "Luz")
    tom.main("reprobe.closed")
    tom.until("probe")
    expect(tom.page.locator("h2")).not_to_contain_text([tom.words["probe.open"]])
    tom.until_sent()
    assert counted(kept(crewed.database))["reprobe"] == 1
