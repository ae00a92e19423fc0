// What was recorded and not yet receipted. No page and no storage of its own: storage is handed
// in, and so is the way to the server. A fact leaves the outbox on its receipt and not before;
// sending twice is harmless. What the server refuses stays in sight with the reason.

const MOST = 500; // facts in one upload
const MOST_BYTES = 1_000_000;
const FIRST_WAIT = 2_000; // ms; doubled at every failure
const LONGEST_WAIT = 60_000;
const FILE_FORMAT = "lapwright-unsent-1";

const TOO_BIG = [400, 413, 422]; // halve, then refuse the one that is at fault
const SENT = ["kept", "had"];

const bytesOf = (value) => new TextEncoder().encode(JSON.stringify(value)).length;

function batchOf(waiting, most) {
  const [first] = waiting;
  let bytes = 0;
  const batch = [];
  for (const { fact } of waiting) {
    bytes += bytesOf(fact);
    if (batch.length === most || (batch.length && bytes > MOST_BYTES)) break;
    if (fact.job === first.fact.job) batch.push(fact);
  }
  return batch;
}

const base64 = async (blob) => {
  const bytes = new Uint8Array(await blob.arrayBuffer());
  let text = "";
  for (let at = 0; at < bytes.length; at += 8192) text += String.fromCharCode(...bytes.subarray(at, at + 8192));
  return btoa(text);
};
const fromBase64 = (text) =>
  new Blob([Uint8Array.from(atob(text), (sign) => sign.charCodeAt(0))], { type: "image/jpeg" });

export class Outbox {
  #storage;
  #clock;
  #onchange;
  #sending = null;
  #failures = 0;
  #loose = new Map(); // facts and photos that storage had no room for: they live as long as the page
  #loosePhotos = new Map();
  due = 0; // not before this moment, by the clock handed in

  constructor({ storage, clock = Date.now, onchange = () => {} }) {
    this.#storage = storage;
    this.#clock = clock;
    this.#onchange = onchange;
  }

  // Keep facts until they are receipted. False: no room, they live only as long as this page.
  async add(facts) {
    let isKept = true;
    try {
      await this.#storage.keep(facts);
    } catch {
      isKept = false;
      for (const fact of facts) this.#loose.set(fact.id, { id: fact.id, fact, refused: null });
    }
    await this.#tell();
    return isKept;
  }

  async addPhoto(photo) {
    let isKept = true;
    try {
      await this.#storage.keepPhoto(photo);
    } catch {
      isKept = false;
      this.#loosePhotos.set(photo.sha, { ...photo, refused: null });
    }
    await this.#tell();
    return isKept;
  }

  // {facts, photos}: each {id or sha, refused: null or {code, field, message}}, oldest first.
  async pending() {
    const [facts, photos] = await Promise.all([this.#storage.waiting(), this.#storage.photos()]);
    return { facts: [...facts, ...this.#loose.values()], photos: [...photos, ...this.#loosePhotos.values()] };
  }

  get loose() {
    return this.#loose.size + this.#loosePhotos.size;
  }

  // One upload at a time; a second call waits for the first. `fetch` as the browser's.
  send(fetch) {
    this.#sending ??= this.#sendAll(fetch).finally(() => {
      this.#sending = null;
    });
    return this.#sending;
  }

  get isSending() {
    return this.#sending !== null;
  }

  async #sendAll(fetch) {
    const result = { sent: 0, refused: 0, lost: false, status: 200 };
    try {
      await this.#sendFacts(fetch, result);
      if (!result.lost) await this.#sendPhotos(fetch, result);
    } catch {
      result.lost = true; // nobody there, or the answer broke off: everything is still here
      result.status = 0;
    }
    this.#failures = result.lost ? this.#failures + 1 : 0;
    const wait = Math.min(LONGEST_WAIT, FIRST_WAIT * 2 ** (this.#failures - 1));
    this.due = result.lost ? this.#clock() + wait : 0;
    await this.#tell();
    return result;
  }

  async #sendFacts(fetch, result) {
    let most = MOST;
    for (;;) {
      const waiting = (await this.pending()).facts.filter(({ refused }) => !refused);
      if (!waiting.length) return;
      const batch = batchOf(waiting, most);
      const response = await fetch(`api/jobs/${batch[0].job}/facts`, {
        method: "POST",
        headers: { "Content-Type": "application/json" },
        body: JSON.stringify({ facts: batch }),
      });
      if (response.ok) {
        const { receipts } = await response.json();
        if (!(await this.#take(receipts, batch, result))) return this.#give(result, 0);
      } else if (!TOO_BIG.includes(response.status)) return this.#give(result, response.status);
      else if (batch.length > 1) most = Math.ceil(batch.length / 2);
      else await this.#refuse(batch[0].id, (await response.json()).error, result);
      await this.#tell();
    }
  }

  #give(result, status) {
    result.lost = true;
    result.status = status;
  }

  // How many of the batch the receipts speak of.
  async #take(receipts, batch, result) {
    const ids = new Set(batch.map(({ id }) => id));
    const known = receipts.filter(({ id }) => ids.has(id));
    const sent = known.filter(({ status }) => SENT.includes(status)).map(({ id }) => id);
    await this.#storage.drop(sent);
    for (const id of sent) this.#loose.delete(id);
    for (const { id, status, code, field, message } of known)
      if (status === "refused") await this.#refuse(id, { code, field, message }, result);
    result.sent += sent.length;
    return known.length;
  }

  async #refuse(id, { code = "", field = "", message = "" }, result) {
    const refused = { code, field, message };
    if (this.#loose.has(id)) this.#loose.get(id).refused = refused;
    else await this.#storage.refuse(id, refused);
    result.refused += 1;
  }

  async #sendPhotos(fetch, result) {
    const { photos } = await this.pending();
    for (const { sha, job, blob, refused } of photos) {
      if (refused) continue;
      const options = { method: "PUT", headers: { "Content-Type": "image/jpeg" }, body: blob };
      const response = await fetch(`api/jobs/${job}/photos/${sha}`, options);
      if (response.ok) {
        if (this.#loosePhotos.has(sha)) this.#loosePhotos.delete(sha);
        else await this.#storage.dropPhoto(sha);
        result.sent += 1;
      } else if (TOO_BIG.includes(response.status)) {
        const { code = "", message = "" } = (await response.json()).error;
        if (this.#loosePhotos.has(sha)) this.#loosePhotos.get(sha).refused = { code, message };
        else await this.#storage.refusePhoto(sha, { code, message });
        result.refused += 1;
      } else return this.#give(result, response.status);
      await this.#tell();
    }
  }

  // Send what was refused once more: the reason may be gone.
  async retry() {
    await this.#storage.forgive();
    for (const each of [...this.#loose.values(), ...this.#loosePhotos.values()]) each.refused = null;
    this.due = 0;
    await this.#tell();
  }

  // All that is not receipted, one JSON object a line: the way out when no server is reached.
  async exportFile() {
    const { facts, photos } = await this.pending();
    const lines = [{ format: FILE_FORMAT }, ...facts.map(({ fact }) => ({ fact }))];
    for (const { sha, job, blob } of photos) lines.push({ photo: { sha, job, jpeg: await base64(blob) } });
    return `${lines.map((line) => JSON.stringify(line)).join("\n")}\n`;
  }

  // Such a file back into an outbox; the facts in it, or null when it is none.
  async importFile(text) {
    try {
      const lines = text.trim().split("\n").map((line) => JSON.parse(line));
      if (lines[0].format !== FILE_FORMAT) return null;
      const facts = lines.flatMap(({ fact }) => (fact ? [fact] : []));
      await this.add(facts);
      for (const { photo } of lines)
        if (photo) await this.addPhoto({ sha: photo.sha, job: photo.job, blob: fromBase64(photo.jpeg) });
      return facts;
    } catch {
      return null;
    }
  }

  async #tell() {
    this.#onchange(await this.pending());
  }
}
