// What every screen is made in: head, one main action, buttons, and a drawer over it.

import { html, useEffect, useId, useLayoutEffect, useRef } from "./html.js";
import { useReader } from "./reader.js";
import { Shape } from "./shapes.js";

// For bright sun: pure black and white, heavier lines.
export function sunMode(on) {
  document.documentElement.toggleAttribute("data-sun", on);
}

// A button for a glove. `waits` says why it cannot do its work yet: it stays reachable, is read
// with its reason, and does nothing. kind: main | plain | stop.
export function BigButton({ label, note, shape, kind = "plain", waits, spoken, onpress }) {
  const reason = useId();
  return html`<div class="kit-press">
    ${waits && html`<p class="kit-waits" id=${reason}>${waits}</p>`}
    <button
      type="button"
      class=${`kit-button ${kind}`}
      aria-label=${spoken}
      aria-disabled=${waits ? "true" : undefined}
      aria-describedby=${waits ? reason : undefined}
      onClick=${() => { if (!waits) onpress(); }}
    >
      ${shape && html`<${Shape} name=${shape} />`}
      <span>${label}${note && html`<small>${note}</small>`}</span>
    </button>
  </div>`;
}

// The bar at the bottom tells the page its height, so that nothing with the focus hides under it;
// one that takes half the screen, as in very large text, goes with the page.
function useFoot(isThere) {
  const foot = useRef();
  useEffect(() => {
    if (!isThere) return undefined;
    const tell = (height) => document.documentElement.style.setProperty("--foot", `${height}px`);
    const watch = new ResizeObserver(([{ target }]) => {
      const isTall = target.offsetHeight > innerHeight / 2;
      target.toggleAttribute("data-tall", isTall);
      tell(isTall ? 0 : target.offsetHeight);
    });
    watch.observe(foot.current);
    return () => { watch.disconnect(); tell(0); };
  }, [isThere]);
  return foot;
}

// One screen, one main action. It takes the keyboard and the reading to its title when it
// comes up; a screen that replaces one of its own kind needs a `key` of its own.
export function Screen({ title, onback, back, aside, banner, foot, action, children }) {
  const { say } = useReader();
  const head = useRef();
  const bar = useFoot(Boolean(foot || action));
  useLayoutEffect(() => head.current.focus(), []);
  useEffect(() => { document.title = title; }, [title]);
  return html`<div class="kit-screen">
    <header>
      ${onback && html`<button type="button" class="kit-square" aria-label=${back ?? say("kit.back")} onClick=${onback}>
        <${Shape} name="back" />
      </button>`}
      <h1 tabindex="-1" ref=${head}>${title}</h1>
      ${aside && html`<div class="kit-aside">${aside}</div>`}
    </header>
    <main>${banner}${children}</main>
    ${(foot || action) && html`<footer class="kit-foot" ref=${bar}>
      ${foot}
      ${action && html`<${BigButton} kind="main" ...${action} />`}
    </footer>`}
  </div>`;
}

// Something small over the screen; Escape, the back of the phone and its cross close it.
export function Drawer({ open, title, onclose, children }) {
  const { say } = useReader();
  const name = useId();
  const drawer = useRef();
  useLayoutEffect(() => {
    if (open && !drawer.current.open) drawer.current.showModal();
    if (!open && drawer.current.open) drawer.current.close();
  }, [open]);
  return html`<dialog class="kit-drawer" ref=${drawer} aria-labelledby=${name} onClose=${onclose}>
    ${open && html`
      <div class="kit-drawer-head">
        <h2 id=${name}>${title}</h2>
        <button type="button" class="kit-square" aria-label=${say("kit.close")} onClick=${() => drawer.current.close()}>
          <${Shape} name="close" />
        </button>
      </div>
      ${children}`}
  </dialog>`;
}
