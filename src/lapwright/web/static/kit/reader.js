// Who reads: language and unit system, told once at the top of the page.
//   html`<${Reader} say=${speaker("es")} units="metric">...</>`
// `say` must know the keys of kit/words.en.json besides the page's own.

import { createContext, html, useContext } from "./html.js";

const Reading = createContext();

export const Reader = ({ say, units, children }) =>
  html`<${Reading.Provider} value=${{ say, units }}>${children}<//>`;

export const useReader = () => useContext(Reading);
