// The one place that the page takes its makers from: html`<p>...</p>`, render, state, signals.

import htm from "../vendor/htm.js";
import { Fragment, createContext, h, render } from "../vendor/preact.js";

export { Fragment, createContext, h, render };
export { useContext, useEffect, useId, useLayoutEffect, useMemo, useRef, useState } from "../vendor/preact-hooks.js";
export { batch, computed, effect, signal, untracked, useComputed, useSignal, useSignalEffect } from "../vendor/signals.js";

export const html = htm.bind(h);
