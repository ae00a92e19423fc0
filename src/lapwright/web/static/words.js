// The page's own words. Both languages are loaded at once: switching needs no connection.

export const LANGUAGES = ["en", "es"];
let sentences = {};

export async function loadWords() {
  const lists = LANGUAGES.map(async (lang) => [lang, await (await fetch(`words.${lang}.json`)).json()]);
  sentences = Object.fromEntries(await Promise.all(lists));
}

// A speaker for one language: say("weld.name", {name: "3"}); it knows the decimal mark, too.
export function speaker(lang) {
  const say = (key, values = {}) => {
    const sentence = sentences[lang][key];
    if (sentence === undefined) throw new Error(`no words for ${key} in ${lang}`);
    return sentence.replace(/\{(\w+)\}/g, (_, name) => values[name]);
  };
  return Object.assign(say, { decimal: lang === "es" ? "," : "." });
}
