// Charts of a Vega-Lite definition. The programs (0.8 MB) are loaded when the first is drawn.

let programs;

async function load() {
  // They stand on each other: each leaves its name in the window for the next.
  await import("../vendor/vega/vega.js");
  await import("../vendor/vega/vega-lite.js");
  await import("../vendor/vega/vega-embed.js");
  return globalThis.vegaEmbed;
}

// Draw into a place; the answer has view and finalize(). Expressions are interpreted (ast) and
// no style is written into the page, because the page's rules allow neither eval nor inline style.
export async function drawChart(place, definition, options = {}) {
  programs ??= load();
  try {
    const embed = await programs;
    return await embed(place, definition, {
      renderer: "svg",
      actions: false,
      ...options,
      ast: true,
      defaultStyle: false,
      tooltip: false,
    });
  } catch (failure) {
    programs = undefined; // with no connection the next try loads again
    throw failure;
  }
}
