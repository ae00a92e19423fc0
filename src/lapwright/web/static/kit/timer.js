// Waiting until a weld is cool. Only the start is kept: after a reload the same time is left.

import { html, useEffect, useState } from "./html.js";
import { useReader } from "./reader.js";
import { Shape } from "./shapes.js";

// What is left at a moment. started and now in ms since 1970, lasts in s. A clock that was set
// back meanwhile never makes it more than the whole wait.
export function cooling({ started, lasts, now }) {
  const passed = Math.max(0, (now - started) / 1000);
  const left = Math.max(0, Math.ceil(lasts - passed));
  return { left, isDone: left === 0, share: lasts > 0 ? Math.min(1, passed / lasts) : 1 };
}

const clock = (seconds) => `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;

// Before it starts (started is null) a button starts it: onstart(now).
export function Timer({ label, ready, start, started, lasts, onstart, clockNow = Date.now }) {
  const { say } = useReader();
  const [now, setNow] = useState(clockNow);
  const isRunning = started !== null && !cooling({ started, lasts, now }).isDone;
  useEffect(() => {
    setNow(clockNow());
    if (!isRunning) return undefined;
    const beat = setInterval(() => setNow(clockNow()), 1000);
    return () => clearInterval(beat);
  }, [isRunning, started]);
  if (started === null) {
    return html`<button type="button" class="kit-button" onClick=${() => onstart(clockNow())}>${start}</button>`;
  }
  const { left, isDone, share } = cooling({ started, lasts, now });
  const spoken = say("kit.left", { minutes: Math.floor(left / 60), seconds: left % 60 });
  return html`<div class=${isDone ? "kit-timer done" : "kit-timer"}>
    ${!isDone && html`<div role="timer" aria-label=${`${label}: ${spoken}`}>
      <span>${label}</span> <strong>${clock(left)}</strong>
    </div>
    <svg class="kit-bar" viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true">
      <rect width=${100 * share} height="10" />
    </svg>`}
    <p role="status">${isDone && html`<${Shape} name="done" /> <strong>${ready}</strong>`}</p>
  </div>`;
}
