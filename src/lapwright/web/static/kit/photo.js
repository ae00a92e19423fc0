// A photo, as the phone took it. The preview is painted, because the page's rules show no
// picture from a blob; a kind of picture that this browser cannot paint is kept all the same.

import { html, useEffect, useRef, useState } from "./html.js";
import { useReader } from "./reader.js";
import { Shape } from "./shapes.js";

const WIDEST = 640; // px of the preview

async function paint(canvas, photo) {
  const picture = await createImageBitmap(photo);
  const scale = Math.min(1, WIDEST / picture.width);
  canvas.width = Math.round(picture.width * scale);
  canvas.height = Math.round(picture.height * scale);
  canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
  picture.close();
}

// photo: the Blob that is kept, or null; onphoto(blob or null).
export function PhotoField({ id, label, photo, onphoto }) {
  const { say } = useReader();
  const canvas = useRef();
  const [isShown, setShown] = useState(false);
  useEffect(() => {
    let isWanted = true;
    const shown = (whether) => { if (isWanted) setShown(whether); };
    setShown(false);
    if (photo) paint(canvas.current, photo).then(() => shown(true), () => shown(false));
    return () => { isWanted = false; };
  }, [photo]);
  const picked = (event) => {
    const [file] = event.target.files;
    event.target.value = ""; // the same picture may be picked again
    if (file) onphoto(file);
  };
  const size = photo && (photo.size / 1e6).toFixed(1).replace(".", say.decimal);
  return html`<div class="kit-photo" role="group" aria-label=${label}>
    <p><strong>${label}</strong> <span role="status">${photo && say("kit.photo_kept", { size })}</span></p>
    ${photo && html`<canvas ref=${canvas} hidden=${!isShown} role="img" aria-label=${label}></canvas>`}
    <div class="kit-buttons">
      <label class="kit-button">
        <input id=${id} type="file" accept="image/*" capture="environment" onChange=${picked} />
        <${Shape} name="camera" /><span>${say(photo ? "kit.photo_again" : "kit.photo_take")}</span>
      </label>
      ${photo && html`<button type="button" class="kit-button" onClick=${() => onphoto(null)}>${say("kit.photo_remove")}</button>`}
    </div>
  </div>`;
}
