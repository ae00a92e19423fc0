// Photos behind a fact, from the phone where it still holds them, else from the server.

import { html, useEffect, useReader, useState } from "../../kit/kit.js";
import { chosen, local, record } from "../app.js";
import { ROOT } from "../server.js";

function Photo({ sha, number }) {
  const { say } = useReader();
  const [source, setSource] = useState(null);
  useEffect(() => {
    let address = null;
    local.photo(sha).then((found) => {
      if (found) address = URL.createObjectURL(found.blob);
      setSource(address ?? new URL(`api/jobs/${chosen.value.job}/photos/${sha}`, ROOT).href);
    });
    return () => { if (address) URL.revokeObjectURL(address); };
  }, [sha]);
  return source && html`<img class="evidence" src=${source} alt=${say("photo.alt", { number })} loading="lazy" />`;
}

export function Evidence({ of }) {
  const photos = record.value.all("photo").filter(({ body }) => body.of === of);
  if (!photos.length) return null;
  return html`<span class="photos">${photos.map(({ body }, n) => html`<${Photo} key=${body.file} sha=${body.file} number=${n + 1} />`)}</span>`;
}
