// Talking to the machine that computes. Three outcomes, told apart: an answer, a refusal
// with its reason, or nobody there. A stale answer of a cache is never taken for one.

const PATIENCE = 20_000; // ms; past it the connection counts as lost

async function call(path, lang, { type = "application/json", ...options } = {}) {
  let response;
  try {
    response = await fetch(path, {
      ...options,
      headers: { "Content-Type": type, "Accept-Language": lang },
      cache: "no-store",
      signal: AbortSignal.timeout(PATIENCE),
    });
  } catch {
    return { lost: true };
  }
  try {
    const body = await response.json();
    return response.ok ? { answer: body } : { refusal: body.error };
  } catch {
    return { lost: true }; // something on the way answered, not lapwright
  }
}

export const askWindow = (question) =>
  call("api/window", question.lang, { method: "POST", body: JSON.stringify(question) });

export const askExample = (lang) => call("api/example", lang);

export const askRows = (file, lang) =>
  call(`api/rows?name=${encodeURIComponent(file.name)}`, lang, { method: "POST", body: file, type: "text/csv" });
