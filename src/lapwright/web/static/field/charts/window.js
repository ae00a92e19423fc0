// The window over air and speed, drawn from the same definition as on paper. It needs the server
// and 0.3 MB of chart programs, so it is no part of what the phone keeps.

import { drawChart } from "../../kit/vega.js";
import { chosen, day } from "../app.js";
import { ask } from "../server.js";
import { linksOf } from "../live.js";

export async function draw(place, { say, units }) {
  place.textContent = "…";
  const asked = `units=${units}&lang=${say.lang}&${linksOf(day.value.chain)}`;
  const { answer, refusal } = await ask(`api/jobs/${chosen.value.job}/chart?${asked}`);
  place.textContent = answer ? "" : refusal?.message ?? say("chart.no_signal");
  if (!answer) return;
  delete answer.usermeta; // how a saved page embeds it; here drawChart decides
  await drawChart(place, answer).catch(() => { place.textContent = say("chart.no_signal"); });
}
