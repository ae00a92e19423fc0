// How phones come in: a link or QR code that the foreman shows, or name and password.

import { Choice, ListRow, Rows, html, useEffect, useReader, useState } from "../../kit/kit.js";
import { setMe } from "../app.js";
import { nudge } from "../live.js";
import { Page, Plain, TextField, go, timeOf, wordsOf } from "../parts.js";
import { ask, post } from "../server.js";
import { stamp } from "../ids.js";

const ROLES = ["welder", "prober", "quality", "foreman", "inspector"];
const said = ({ refusal, lost }, say) => (lost ? say("line.off.long") : refusal ? refusal.message : "");

function useEntry() {
  const { say } = useReader();
  const [fault, setFault] = useState("");
  const enter = async (path, body) => {
    const told = await post(path, body);
    setFault(said(told, say));
    if (!told.answer) return;
    setMe(told.answer);
    nudge();
    history.replaceState(null, "", location.pathname);
    go("start");
  };
  return [fault, enter];
}

// With a token the phone joins; without one somebody signs in.
export function Join({ token }) {
  const { say } = useReader();
  const [fault, enter] = useEntry();
  const [phone, setPhone] = useState("");
  const [account, setAccount] = useState("");
  const [password, setPassword] = useState("");
  const action = token
    ? { label: say("join.keep"), onpress: () => enter("api/join", { token, phone: phone.trim() }) }
    : { label: say("join.sign_in"), waits: account.trim() && password ? null : say("join.both_first"), onpress: () => enter("api/sign-in", { account: account.trim(), password, phone: phone.trim() }) };
  return html`<${Page} tab="today" isEntry title=${say(token ? "join.title" : "join.sign_in")} action=${action}>
    ${token && html`<p>${say("join.how")}</p>`}
    <p class="kit-fault" role="alert">${fault}</p>
    ${!token && html`
      <${TextField} id="account" label=${say("field.account")} value=${account} oninput=${setAccount} autocomplete="username" />
      <${TextField} id="password" type="password" label=${say("field.password")} value=${password} oninput=${setPassword} autocomplete="current-password" />`}
    <${TextField} id="phone" label=${say("field.phone")} hint=${say("join.phone.hint")} value=${phone} oninput=${setPhone} />
  <//>`;
}

// For the foreman: invite a phone, see who is in, shut a lost one out.
export function Phones() {
  const { say } = useReader();
  const [name, setName] = useState("");
  const [role, setRole] = useState("welder");
  const [invite, setInvite] = useState(null);
  const [phones, setPhones] = useState([]);
  const [fault, setFault] = useState("");
  const read = async () => {
    const told = await ask("api/phones");
    setFault(said(told, say));
    if (told.answer) setPhones(told.answer.phones);
  };
  useEffect(() => { read(); }, []);
  const make = async () => {
    const told = await post("api/invites", { name: name.trim(), role });
    setFault(said(told, say));
    if (told.answer) setInvite(told.answer);
  };
  const out = async (phone) => {
    const response = await post(`api/phones/${phone}/revoke`, {});
    setFault(response.refusal ? said(response, say) : "");
    read();
  };
  const action = { label: say("phones.invite"), waits: name.trim() ? null : say("person.name_first"), onpress: make };
  return html`<${Page} tab="today" title=${say("phones.title")} onback=${() => go("today")} action=${action}>
    <p class="kit-fault" role="alert">${fault}</p>
    ${invite && html`<div class="invite">
      <p>${say("phones.scan", { name, time: timeOf(stamp(Date.parse(invite.expires))) })}</p>
      <div class="qr" role="img" aria-label=${say("phones.qr")} ref=${(place) => place?.replaceChildren(picture(invite.qr))}></div>
      <p class="link">${invite.link}</p>
    </div>`}
    <${TextField} id="invite-name" label=${say("phones.whose")} value=${name} oninput=${setName} />
    <${Choice} id="role" legend=${say("field.role")} options=${wordsOf(say, "role", ROLES)} value=${role} onpick=${setRole} />
    <h2>${say("phones.in")}</h2>
    <${Rows} label=${say("phones.in")}>${phones.map((phone) => html`<${ListRow}
      key=${phone.phone}
      title=${`${phone.account_name}: ${phone.name}`}
      note=${phone.revoked ? say("phones.revoked") : phone.joined.slice(0, 10)}
      aside=${!phone.revoked && html`<${Plain} label=${say("phones.out")} onpress=${() => out(phone.phone)} />`}
    />`)}<//>
  <//>`;
}

// The server's own picture, read as a picture and not as a page.
function picture(svg) {
  const found = new DOMParser().parseFromString(svg, "text/html").querySelector("svg");
  found.setAttribute("aria-hidden", "true");
  found.setAttribute("viewBox", `0 0 ${parseFloat(found.getAttribute("width"))} ${parseFloat(found.getAttribute("height"))}`);
  return found;
}
