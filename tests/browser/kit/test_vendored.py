"""The vendored files at work in a real browser, under the page's own security rules."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Error, Page, expect

Opened = Callable[..., Page]


def test_a_signal_redraws_the_page(open_trial: Opened) -> None:
    """preact, htm, hooks and signals share one preact: a changed signal shows by itself."""
    page = open_trial()
    page.evaluate(
        """async () => {
        const { html, render, signal, useState } = await import("/kit/html.js");
        const feet = signal(40);
        const Seam = () => {
            const [runs, setRuns] = useState(1);
            return html`<button onClick=${() => { feet.value += 10; setRuns(runs + 1); }}>
                ${runs} / ${feet.value}</button><output>${feet}</output>`;
        };
        render(html`<${Seam} />`, document.getElementById("place"));
        }"""
    )
    button = page.get_by_role("button")
    expect(button).to_have_text("1 / 40")
    button.click()
    expect(button).to_have_text("2 / 50")
    expect(page.locator("output")).to_have_text("50")


def test_a_store_keeps_across_a_reload(open_trial: Opened) -> None:
    """idb opens the browser's own store; what was put there is there after a reload."""
    page = open_trial()
    opened = """const { openDB } = await import("/vendor/idb.js");
        const store = await openDB("trial", 1, {
            upgrade: (fresh) => fresh.createObjectStore("facts", { keyPath: "id" }) });"""
    page.evaluate(f"async () => {{ {opened} await store.put('facts', {{ id: 7, pull: 'full' }}) }}")
    page.reload()
    kept = page.evaluate(f"async () => {{ {opened} return store.get('facts', 7) }}")
    assert kept == {"id": 7, "pull": "full"}


CHART = {
    "data": {"values": [{"air": 800, "p": 0.2}, {"air": 850, "p": 0.9}, {"air": 900, "p": 0.4}]},
    "transform": [{"calculate": "datum.p * 100", "as": "percent"}],  # an expression: needs `ast`
    "mark": {"type": "bar"},
    "encoding": {
        "x": {"field": "air", "type": "ordinal"},
        "y": {"field": "percent", "type": "quantitative", "scale": {"domain": [0, 100]}},
    },
    "height": 200,
}


@pytest.mark.parametrize("renderer", ["svg", "canvas"])
def test_a_chart_is_drawn_without_eval(open_trial: Opened, renderer: str) -> None:
    """Vega draws under the rules of the page: bars as high as the shares they show."""
    page = open_trial()
    heights = page.evaluate(
        """async ([chart, renderer]) => {
        const { drawChart } = await import("/kit/vega.js");
        const { view } = await drawChart(document.getElementById("place"), chart, { renderer });
        await view.runAsync();
        const marks = view.scenegraph().root.items[0].items
            .find((group) => group.name === "marks").items;
        return marks.map((bar) => bar.height);
        }""",
        [CHART, renderer],
    )
    assert heights == pytest.approx([40, 180, 80])
    expect(page.locator("#place " + renderer)).to_be_visible()


def test_a_chart_without_the_interpreter_is_refused(open_trial: Opened) -> None:
    """The other way round: without `ast` the rules of the page refuse the same chart."""
    page = open_trial()
    with pytest.raises(Error, match="unsafe-eval"):
        page.evaluate(
            """async (chart) => {
            const { drawChart } = await import("/kit/vega.js");
            await drawChart(document.getElementById("place"), chart);
            const more = { actions: false, defaultStyle: false, tooltip: false };
            await globalThis.vegaEmbed(document.getElementById("place"), chart, more);
            }""",
            CHART,
        )
