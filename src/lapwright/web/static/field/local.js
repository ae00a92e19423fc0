// What the phone keeps: the job's facts, what is not yet sent, photos, and a shelf for the rest.
// A write that has returned is on the disk; it throws when there is no room.

import { openDB } from "../vendor/idb.js";

const STRICT = { durability: "strict" };

export async function openLocal(name = "lapwright") {
  const db = await openDB(name, 1, {
    upgrade(made) {
      made.createObjectStore("facts", { keyPath: "id" }).createIndex("job", "job");
      made.createObjectStore("outbox", { keyPath: "id" });
      made.createObjectStore("photos", { keyPath: "sha" });
      made.createObjectStore("shelf");
    },
  });

  // The order things were typed in: a correction must not arrive before what it corrects, and
  // the phone's clock may jump.
  let last = Math.max(0, ...(await db.getAll("outbox")).map(({ place }) => place));

  // All or nothing; the promise of each write is awaited so that none fails unseen.
  async function write(stores, act) {
    const change = db.transaction(stores, "readwrite", STRICT);
    await Promise.all([...act((store) => change.objectStore(store)), change.done]);
  }

  async function refuseIn(store, key, refused) {
    const found = await db.get(store, key);
    if (found) await write([store], (of) => [of(store).put({ ...found, refused })]);
  }

  return {
    // A fact of one's own: known and waiting to be sent, in one step.
    keep: (facts) =>
      write(["facts", "outbox"], (of) =>
        facts.flatMap((fact) => [of("facts").put(fact), of("outbox").put({ id: fact.id, place: ++last, fact, refused: null })])),
    waiting: async () => (await db.getAll("outbox")).sort((one, other) => one.place - other.place),
    drop: (ids) => write(["outbox"], (of) => ids.map((id) => of("outbox").delete(id))),
    refuse: (id, why) => refuseIn("outbox", id, why),
    keepPhoto: (photo) => write(["photos"], (of) => [of("photos").put({ ...photo, refused: null })]),
    photos: () => db.getAll("photos"),
    photo: (sha) => db.get("photos", sha),
    dropPhoto: (sha) => write(["photos"], (of) => [of("photos").delete(sha)]),
    refusePhoto: (sha, why) => refuseIn("photos", sha, why),
    async forgive() {
      for (const store of ["outbox", "photos"])
        for (const found of await db.getAll(store))
          if (found.refused) await write([store], (of) => [of(store).put({ ...found, refused: null })]);
    },

    // Facts from the server, and how far its chain is known: in one step, so none is skipped.
    take: (job, facts, seq) =>
      write(["facts", "shelf"], (of) => [...facts.map((fact) => of("facts").put(fact)), of("shelf").put(seq, `seq:${job}`)]),
    factsOf: (job) => db.getAllFromIndex("facts", "job", job),

    get: (key) => db.get("shelf", key),
    set: (key, value) => write(["shelf"], (of) => [of("shelf").put(value, key)]),
  };
}
