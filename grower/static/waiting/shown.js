/* What stands at the top of the page about entries that wait. */
import * as queue from "./queue.js";

const place = document.getElementById("waiting");
const words = document.getElementById("waiting-words").content;
const part = (name) => place.querySelector(name);
export const me = { user: place.dataset.user, name: place.dataset.name };
const doers = {};

/* A sentence of the page's language with its gaps filled. */
export function sentence(name, gaps = {}) {
  const text = words.querySelector(`[data-say="${name}"]`).textContent;
  return text.replace(/\{(\w+)\}/g, (gap, which) => gaps[which] ?? gap);
}

export const mine = () => queue.all().filter((entry) => entry.user === me.user);

/* Say a sentence aloud, with a link after it where one is given. */
export function say(name, gaps, link) {
  const line = part(".waiting-says");
  line.textContent = name ? sentence(name, gaps) : "";
  line.dataset.said = name;
  if (link) line.append(" ", anchor(link.to, sentence(link.name)));
}

export const lastSaid = () => part(".waiting-says").dataset.said;

/* Add a line about an entry that was sent. */
export function sent(entry, to) {
  const line = document.createElement("li");
  line.append(anchor(to, sentence("sent", entry)));
  part(".waiting-sent").append(line);
}

function anchor(to, text) {
  const link = document.createElement("a");
  link.href = to;
  link.textContent = text;
  return link;
}

/* What the buttons of an entry do: send, open, drop. */
export function buttonsDo(verbs) {
  Object.assign(doers, verbs);
  part(".waiting-list").addEventListener("click", ({ target }) => {
    const button = target.closest("button");
    const entry = button && queue.find(button.closest("li").dataset.key);
    if (entry) doers[button.dataset.do](entry);
    else draw();
  });
}

/* Draw everything anew: this person's entries one by one, of others only how many. */
export function draw() {
  const waiting = queue.all().filter((entry) => !(entry.direct && queue.beingSent(entry)));
  const own = waiting.filter((entry) => entry.user === me.user);
  const others = waiting.filter((entry) => entry.user !== me.user);
  part("details").hidden = own.length === 0;
  part("summary").textContent = heading(own);
  drawList(own);
  part(".waiting-others").hidden = others.length === 0;
  part(".waiting-others").textContent = me.user ? ofOthers(others) : `${count(others.length)}: ${sentence("stranger")}`;
}

/* The list stays as it is, whoever stands on one of its buttons, until it would say something else. */
function drawList(entries) {
  const list = part(".waiting-list");
  const says = JSON.stringify(entries.map(({ going, ...entry }) => entry));
  if (list.dataset.says === says) return;
  list.dataset.says = says;
  list.replaceChildren(...entries.map(drawn));
}

const count = (n) => sentence(n === 1 ? "one" : "many", { n });

function heading(entries) {
  const n = entries.filter((entry) => entry.why).length;
  return n ? `${count(entries.length)} ${sentence("look", { n })}` : count(entries.length);
}

function ofOthers(entries) {
  const names = [...new Set(entries.map((entry) => entry.name))];
  return names.map((who) => sentence("others", { who, n: entries.filter((one) => one.name === who).length })).join(" ");
}

function drawn(entry) {
  const row = words.querySelector("li").cloneNode(true);
  const fill = (name, text) => { row.querySelector(`[data-part="${name}"]`).textContent = text; };
  row.dataset.key = entry.key;
  fill("title", entry.title);
  fill("at", new Date(entry.at).toLocaleString(document.documentElement.lang, { dateStyle: "medium", timeStyle: "short" }));
  fill("typed", entry.typed.join(" · "));
  fill("why", [entry.why, entry.tried && sentence("maybe")].filter(Boolean).join(" "));
  for (const button of row.querySelectorAll("button")) button.setAttribute("aria-label", `${button.textContent}: ${entry.title}`);
  return row;
}

export function toTop() {
  place.scrollIntoView({ block: "start" });
}
