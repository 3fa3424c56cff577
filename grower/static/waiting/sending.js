/* Asking the ledger whether it can be reached, and sending one entry to it. */
const HERE_MS = 5000;
const POST_MS = 20000;
const NO_ANSWER = new Set([502, 503, 504]); // what stands in front of the ledger says that it cannot be reached
const { here: HERE, door: DOOR } = document.getElementById("waiting").dataset;

async function ask(address, given, longest) {
  const stop = new AbortController();
  const clock = setTimeout(() => stop.abort(), longest);
  try {
    const answer = await fetch(address, { cache: "no-store", credentials: "same-origin", signal: stop.signal, ...given });
    return { status: answer.status, leads: answer.headers.get("Led-To"), words: await answer.text() };
  } finally {
    clearTimeout(clock);
  }
}

/* Who is signed in, with a fresh token; an empty user where nobody is; null without signal, whatever the browser says of it. */
export async function whoIsHere() {
  try {
    const answer = await ask(HERE, { headers: { Waiting: "now" } }, HERE_MS);
    if (answer.leads) return { user: "" };
    return answer.status === 200 ? JSON.parse(answer.words) : null;
  } catch {
    return null;
  }
}

/* Send an entry under its own key; `came` is nothing (`tried` where it may have arrived all the same), door, another,
   done (with `to`) or page (with its status, itself, and why in one sentence). */
export async function send(entry, when) {
  const who = await whoIsHere();
  if (!who) return { came: "nothing" };
  if (who.user !== entry.user) return { came: who.user ? "another" : "door" };
  try {
    return read(await ask(entry.action, { method: "POST", headers: { Waiting: when }, body: body(entry, who.token) }, POST_MS));
  } catch {
    return { came: "nothing", tried: true };
  }
}

function body(entry, token) {
  const sent = new URLSearchParams();
  for (const [name, value] of entry.fields) sent.append(name, value.replace(/\r?\n/g, "\r\n"));
  sent.set("form_key", entry.key);
  sent.set("csrfmiddlewaretoken", token);
  return sent;
}

function read({ status, leads, words }) {
  if (leads) return leads.startsWith(DOOR) ? { came: "door" } : { came: "done", to: leads };
  if (NO_ANSWER.has(status)) return { came: "nothing", tried: true };
  const page = new DOMParser().parseFromString(words, "text/html");
  return { came: "page", status, page, why: reasons(page) || String(status) };
}

/* What a page says against an entry: its refusals, else what it is itself, such as one about a fault of the program. */
function reasons(page) {
  const refused = [...page.querySelectorAll(".refused li")];
  const said = refused.length ? refused : [...page.querySelectorAll("main h1, main > p")].slice(0, 3);
  return said.map((one) => one.textContent.trim().replace(/\s+/g, " ")).join(" · ");
}
