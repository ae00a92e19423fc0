// Which roof: one of the jobs the phone knows, or a new one.

import { Choice, html, useReader, useState } from "../../kit/kit.js";
import { chosen, jobs, openJob, put, setJobs } from "../app.js";
import { newId } from "../ids.js";
import { Page, Plain, TextField, flagOf, go, may } from "../parts.js";

const back = () => go("start");

export function Job() {
  const { say } = useReader();
  const { job } = chosen.value;
  const named = jobs.value.map((each) => ({ key: each.job, label: each.name || say("job.nameless") }));
  const pick = async (key) => {
    await openJob(key);
    back();
  };
  return html`<${Page}
    tab="start"
    title=${say("start.job.title")}
    onback=${back}
    action=${named.length ? undefined : { label: say("job.new"), onpress: () => go("start", "job", "new") }}
  >
    ${named.length
      ? html`<${Choice} id="job" legend=${say("job.which")} options=${named} value=${job} onpick=${pick} />`
      : html`<p>${say("job.none")}</p>`}
    ${named.length > 0 && may("job") && html`<${Plain} label=${say("job.new")} onpress=${() => go("start", "job", "new")} />`}
  <//>`;
}

export function NewJob() {
  const { say } = useReader();
  const [name, setName] = useState("");
  const [place, setPlace] = useState("");
  const [invented, setInvented] = useState("no");
  const keep = async () => {
    const job = newId();
    const clean = name.trim();
    setJobs([...jobs.value.filter((each) => each.job !== job), { job, name: clean }]);
    await openJob(job);
    await put("job", { name: clean, place: place.trim() || null, invented: flagOf(invented) }, { job });
    go("start", "people");
  };
  const action = { label: say("job.keep"), waits: name.trim() ? null : say("job.name_first"), onpress: keep };
  return html`<${Page} tab="start" title=${say("job.new")} onback=${() => go("start", "job")} action=${action}>
    <${TextField} id="job-name" label=${say("field.job_name")} value=${name} oninput=${setName} />
    <${TextField} id="job-place" label=${say("field.place")} value=${place} oninput=${setPlace} />
    <${Choice}
      id="job-invented"
      legend=${say("job.invented")}
      hint=${say("job.invented.hint")}
      options=${["no", "yes"].map((key) => ({ key, label: say(`job.invented.${key}`) }))}
      value=${invented}
      onpick=${setInvented}
    />
  <//>`;
}
