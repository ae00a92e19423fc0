// Photos before they are kept: a large one is drawn smaller, and every one gets its name, the
// hash of its bytes.

const LARGE = 4_000_000; // bytes
const MOST_SIDE = 2048; // px
const QUALITY = 0.85;

async function smaller(photo) {
  const picture = await createImageBitmap(photo);
  const scale = Math.min(1, MOST_SIDE / Math.max(picture.width, picture.height));
  const canvas = document.createElement("canvas");
  [canvas.width, canvas.height] = [picture.width, picture.height].map((side) => Math.round(side * scale));
  canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
  picture.close();
  return new Promise((done) => canvas.toBlob(done, "image/jpeg", QUALITY));
}

// SHA-256 needs a secure page; without one there are no photos, and the page says so.
export const canKeepPhotos = () => Boolean(globalThis.crypto?.subtle);

async function hashOf(blob) {
  const hash = await crypto.subtle.digest("SHA-256", await blob.arrayBuffer());
  return Array.from(new Uint8Array(hash), (byte) => byte.toString(16).padStart(2, "0")).join("");
}

// {sha, blob} ready to be kept. The server takes JPEG; other kinds are drawn anew.
export async function prepared(photo) {
  const isFit = photo.size <= LARGE && photo.type === "image/jpeg";
  const blob = isFit ? photo : await smaller(photo);
  return { sha: await hashOf(blob), blob };
}
