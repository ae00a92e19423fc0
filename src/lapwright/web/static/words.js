// The page's own words. Both languages are loaded at once: switching needs no connection.

export const LANGUAGES = ["en", "es"];
let sentences = {};

// Lists of words lie in folders, as words.en.json and words.es.json.
export async function loadWords(...folders) {
  const listOf = async (folder, lang) => (await fetch(`${folder}words.${lang}.json`)).json();
  const lists = LANGUAGES.map(async (lang) => {
    const found = await Promise.all((folders.length ? folders : [""]).map((folder) => listOf(folder, lang)));
    return [lang, Object.assign({}, ...found)];
  });
  sentences = Object.fromEntries(await Promise.all(lists));
}

// A speaker for one language: say("weld.name", {name: "3"}); it knows the decimal mark, too.
export function speaker(lang) {
  const say = (key, values = {}) => {
    const sentence = sentences[lang][key];
    if (sentence === undefined) throw new Error(`no words for ${key} in ${lang}`);
    return sentence.replace(/\{(\w+)\}/g, (_, name) => values[name]);
  };
  return Object.assign(say, { decimal: lang === "es" ? "," : ".", lang });
}
