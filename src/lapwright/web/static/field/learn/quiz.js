// The grading quiz: one strip at a time, graded blind. What is right comes when all are graded.

import { BigButton, ListRow, Rows, Shape, html, signal, useEffect, useReader, useState } from "../../kit/kit.js";
import { chosen, me, prefs, record } from "../app.js";
import { personName } from "../names.js";
import { Plain, go } from "../parts.js";
import { ask, post } from "../server.js";
import { Lines, Picture, PracticePage, STRIPS, newSeed, wrongOf } from "./learn.js";

const quiz = signal(null); // {of, seed, job, given: {strip: grade}, shown, marks, lang}

const begin = (of) => { quiz.value = { of, seed: newSeed(), job: chosen.value.job ?? null, given: {}, shown: null, marks: null }; };
const isHere = (of) => quiz.value?.of === of;

async function show() {
  const { of, seed, job } = quiz.value;
  const { lang } = prefs.value;
  const found = await ask(`api/quiz?seed=${seed}&n=${STRIPS}&of=${of}&lang=${lang}${job ? `&job=${job}` : ""}`);
  if (quiz.value.seed === seed && found.answer) quiz.value = { ...quiz.value, shown: found.answer, lang };
  return found;
}

async function mark() {
  const { of, seed, job, given, shown } = quiz.value;
  const { lang } = prefs.value;
  const answers = shown.strips.map(({ strip }) => ({ strip, grade: given[strip] }));
  const found = await post("api/quiz/answers", { seed, n: shown.n, of, job, answers, lang });
  if (found.answer) quiz.value = { ...quiz.value, marks: { ...found.answer, lang } };
  return found;
}

export function Quiz({ of, place }) {
  const { say } = useReader();
  const [wrong, setWrong] = useState(null);
  const { lang } = prefs.value;
  useEffect(() => {
    if (!isHere(of) || quiz.value.marks) {
      begin(of);
      if (place !== "1") go("today", "learn", of, "1");
    }
    if (!quiz.value.shown || quiz.value.lang !== lang) show().then((found) => setWrong(wrongOf(found, say)));
  }, [lang]);
  const { shown, given } = isHere(of) ? quiz.value : {};
  const at = Number(place);
  const back = at > 1 ? ["today", "learn", of, at - 1] : ["today", "learn"];
  if (!shown) return html`<${PracticePage} title=${say(`learn.${of}`)} back=${["today", "learn"]} wrong=${wrong}>${!wrong && html`<p role="status">${say("learn.asking")}</p>`}<//>`;
  const strip = shown.strips[at - 1];
  if (!strip) return html`<${All} of=${of} back=${["today", "learn", of, shown.n]} />`;
  const answer = (grade) => {
    quiz.value = { ...quiz.value, given: { ...given, [strip.strip]: grade } };
    go("today", "learn", of, at + 1);
  };
  return html`<${PracticePage} title=${say("learn.strip", { place: at, of: shown.n })} back=${back} wrong=${wrong}>
    <${Picture} strip=${strip} />
    ${strip.hand && html`<p>${strip.hand}</p>`}
    <h2>${say(`learn.${of}.ask`)}</h2>
    <div class="kit-buttons" role="group" aria-label=${say(`learn.${of}.ask`)}>${shown.grades.map(({ grade, says }) => html`<${Plain}
      key=${grade}
      label=${says}
      shape=${given[strip.strip] === grade ? "tick" : undefined}
      onpress=${() => answer(grade)}
    />`)}</div>
  <//>`;
}

// Every strip has its grade: now, and not before, the marks.
function All({ of, back }) {
  const { say } = useReader();
  const [wrong, setWrong] = useState(null);
  const { shown, given } = quiz.value;
  const open = shown.strips.filter(({ strip }) => !given[strip]);
  const hand = async () => {
    const found = await mark();
    setWrong(wrongOf(found, say));
    if (found.answer) go("today", "learn", "marks", of);
  };
  const action = { label: say("learn.hand_in"), waits: open.length ? say("learn.open", { count: open.length }) : null, onpress: hand };
  return html`<${PracticePage} title=${say("learn.all")} back=${back} action=${action} wrong=${wrong}>
    <p>${say("learn.all.note")}</p>
    ${open.map(({ place }) => html`<${Plain} key=${place} label=${say("learn.strip", { place, of: shown.n })} onpress=${() => go("today", "learn", of, place)} />`)}
  <//>`;
}

// The same columns as "lapwright agreement" reads, so that two people's files lie side by side.
function saveFile() {
  const person = personName(record.value.get(chosen.value.person));
  const grader = (person && person !== "?" ? person : me.value.name || me.value.account).replaceAll('"', "'");
  const rows = quiz.value.marks.marks.map(({ strip, given }) => `${strip},"${grader}",${given}`);
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([`strip,grader,grade\n${rows.join("\n")}\n`], { type: "text/csv" }));
  link.download = `lapwright-practice-${quiz.value.seed}.csv`;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}

// For each grade that was there, what was said of it.
function Said({ marks }) {
  const { say } = useReader();
  const { agreement: { table }, grade_words: names } = marks;
  const rows = names.map((name, column) => [name, table.flatMap((row, place) => (row[column] ? [`${names[place]} ${row[column]}`] : []))]);
  return html`<h2>${say("learn.said")}</h2><${Rows} label=${say("learn.said")}>${rows.filter(([, said]) => said.length).map(([name, said]) => html`<${ListRow} key=${name} title=${name} note=${say("learn.said.of", { said: said.join(", ") })} />`)}<//>`;
}

export function Marks({ of }) {
  const { say } = useReader();
  const [wrong, setWrong] = useState(null);
  const { lang } = prefs.value;
  const marks = isHere(of) ? quiz.value.marks : null;
  useEffect(() => {
    if (!marks) go("today", "learn");
    else if (marks.lang !== lang) Promise.all([show(), mark()]).then(([, found]) => setWrong(wrongOf(found, say)));
  }, [lang]);
  if (!marks) return null;
  const stripOf = (name) => quiz.value.shown.strips.find(({ strip }) => strip === name);
  const again = { label: say("learn.again"), onpress: () => { begin(of); go("today", "learn", of, "1"); } };
  return html`<${PracticePage} title=${marks.says} back=${["today", "learn"]} action=${again} wrong=${wrong}>
    ${marks.next_time.length > 0 && html`<h2>${say("learn.next_time")}</h2><${Lines} lines=${marks.next_time} />`}
    <h2>${say("learn.each")}</h2>
    <${Rows} label=${say("learn.each")}>${marks.marks.map(({ strip, is_right: isRight, says }) => html`<${ListRow}
      key=${strip}
      mark=${html`<${Shape} name=${isRight ? "done" : "test"} />`}
      title=${says}
      note=${!isRight && html`<${Picture} strip=${stripOf(strip)} />`}
    />`)}<//>
    <${Said} marks=${marks} />
    <${BigButton} label=${say("learn.save")} note=${say("learn.save.note")} onpress=${saveFile} />
  <//>`;
}
