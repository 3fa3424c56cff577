/* Entries made without signal: kept on the device, sent once when the connection is back. */
import * as forms from "./forms.js";
import * as queue from "./queue.js";
import { send, whoIsHere } from "./sending.js";
import * as shown from "./shown.js";

const FIRST_MS = 5000;
const LAST_MS = 60000;
const HASH = "#waits-";
const UNTIL_BACK = ["kept", "lost", "stays", "full"];
const OF_AN_OPENED = ["reopened", "maybe", "unplaced", "pressed"];
const door = () => ({ to: `${document.getElementById("waiting").dataset.door}?next=${encodeURIComponent(forms.here())}`, name: "sign-in" });
let away = false; // whether the ledger could not be reached when it was last asked
let passing = null;
let pause = FIRST_MS;
let clock = null;

/* Sending a form: the entry is kept first, so that it outlives whatever happens to the page; what waited goes before it. */
async function enter(form) {
  const entry = { ...forms.entryOf(form, shown.me), direct: true, going: queue.mark() };
  try {
    queue.keep(entry);
  } catch {
    return leave(() => form.submit(), "full");
  }
  hold(form, true);
  const came = (await pass()) === "nothing" ? { came: "nothing" } : await sendNow(entry);
  hold(form, false);
  after[came.came](entry, came, form);
  shown.draw();
  return soon();
}

function sendNow(entry) {
  queue.change(entry.key, { going: queue.mark() });
  return send(entry, "now");
}

const after = {
  nothing: (entry, came, form) => keepOn(entry, came, form, "kept"),
  door: (entry, came, form) => keepOn(entry, came, form, "door", door()),
  another: (entry, came, form) => keepOn(entry, came, form, "another"),
  done(entry, { to }, form) {
    away = false;
    queue.drop(entry.key);
    hold(form, true);
    goTo(to);
  },
  page(entry, { status, page, why }) {
    away = false;
    if (status === 200 || status === 422) {
      queue.drop(entry.key);
      shown.say("");
      forms.show(page);
    } else {
      queue.change(entry.key, { direct: false, going: null, why: shown.sentence("refused", { why }) });
      shown.say("refused", { why });
      shown.toTop();
    }
  },
};

function keepOn(entry, { came, tried }, form, said, link) {
  away = came === "nothing";
  queue.change(entry.key, { direct: false, going: null, tried });
  forms.blank(form);
  shown.say(said, entry, link);
  shown.toTop();
}

function hold(form, held) {
  form.setAttribute("aria-busy", String(held));
  for (const button of form.querySelectorAll("button")) button.disabled = held;
}

function goTo(to) {
  const there = new URL(to, location.href);
  if (there.hash && there.pathname + there.search === forms.here()) location.reload();
  else location.assign(there.href);
}

const ready = () => shown.mine().filter((entry) => !entry.why);

/* Send what waits, one after another; return what came of the last. An entry that another tab sends ends the pass. */
function pass() {
  passing ??= passOnce().finally(() => {
    passing = null;
    shown.draw();
  });
  return passing;
}

async function passOnce() {
  let came = null;
  for (const { key } of ready()) {
    const entry = await queue.claim(key);
    if (!entry) return came;
    const answer = await send(entry, "later");
    came = answer.came;
    if (!settle(entry, answer)) return came;
  }
  return came;
}

/* Note what came of an entry that waited; return whether the next may be sent. */
function settle(entry, answer) {
  away = answer.came === "nothing";
  if (answer.came === "done") return counted(entry, answer.to);
  const why = answer.came === "page" ? shown.sentence("refused", answer) : undefined;
  queue.change(entry.key, { direct: false, going: null, why, tried: why ? false : answer.tried || entry.tried });
  if (answer.came === "door") shown.say("door", entry, door());
  else if (answer.came === "another") shown.say("another", entry);
  else if (why) shown.say("refused", answer);
  return Boolean(why);
}

function counted(entry, to) {
  queue.drop(entry.key);
  shown.sent(entry, to);
  if (!OF_AN_OPENED.includes(shown.lastSaid())) shown.say("back");
  pause = FIRST_MS;
  return true;
}

/* Looking whether the connection is back: at once, then after 5 s and ever longer, up to a minute. */
function soon() {
  clearTimeout(clock);
  if (away || ready().length) clock = setTimeout(look, pause);
  pause = Math.min(pause * 2, LAST_MS);
}

async function look() {
  clearTimeout(clock);
  const was = away;
  if (ready().length) await pass();
  else away = !(await whoIsHere());
  if (away && !was) shown.say("lost");
  else if (was && !away && UNTIL_BACK.includes(shown.lastSaid())) shown.say("back");
  soon();
}

function lookNow() {
  pause = FIRST_MS;
  return look();
}

/* Look something up with what is typed, by a button that has a name: the answer is the page again, nothing is recorded. */
async function ask(form, button) {
  hold(form, true);
  const { came, page } = await send(asking(forms.entryOf(form, shown.me), button), "now");
  hold(form, false);
  if (page) forms.show(page);
  else if (came === "nothing") stay("stays");
  else sendFreely(form, button);
}

const asking = (entry, button) => ({ ...entry, fields: [...entry.fields, [button.name, button.value]] });

/* Leave the page only where the next can be fetched. */
async function leave(go, said = "stays") {
  away = !(await whoIsHere());
  if (away) stay(said);
  else go();
}

function stay(said) {
  away = true;
  shown.say(said);
  shown.toTop();
  soon();
}

function submitted(event) {
  const form = event.target;
  const button = event.submitter;
  const waits = "waits" in form.dataset && shown.me.user;
  if (form.dataset.free || !(waits || away)) return;
  event.preventDefault();
  if (form.getAttribute("aria-busy") === "true") return;
  if (!waits) leave(() => sendFreely(form, button));
  else if (button && button.name) ask(form, button);
  else enter(form);
}

function sendFreely(form, button) {
  form.dataset.free = "yes";
  form.requestSubmit(button);
  delete form.dataset.free;
}

function clicked(event) {
  const link = event.target.closest("a[href]");
  const plain = !(event.ctrlKey || event.metaKey || event.shiftKey || event.altKey || event.button);
  if (!away || !link || !plain || link.getAttribute("href").startsWith("#")) return;
  event.preventDefault();
  leave(() => location.assign(link.href));
}

shown.buttonsDo({
  send(entry) {
    queue.change(entry.key, { why: undefined, going: null });
    lookNow();
  },
  open(entry) {
    if (entry.page === forms.here()) openHere(entry);
    else leave(() => openHere(entry));
  },
  drop(entry) {
    const sure = shown.sentence(entry.tried ? "sure-maybe" : "sure");
    if (confirm(`${sure}\n${entry.title}\n${entry.typed.join("\n")}`)) queue.drop(entry.key);
    shown.draw();
  },
});

/* Go to the form an entry was made on; from now on it is sent when its maker says so. Of a press the page itself is what to look at. */
function openHere(entry) {
  queue.change(entry.key, { why: entry.why || shown.sentence("opened") });
  const here = entry.page === forms.here();
  location.assign(entry.page + HASH + entry.key);
  if (here && entry.press) location.reload();
  else if (here) reopen();
}

/* Type the entry named in the address into its form again. */
function reopen() {
  const entry = location.hash.startsWith(HASH) && queue.find(location.hash.slice(HASH.length));
  if (!entry || entry.user !== shown.me.user) return;
  history.replaceState(history.state, "", forms.here());
  const form = !entry.press && forms.formsThatWait()[entry.nth];
  if (entry.press) shown.say("pressed", entry);
  else if (form) typeAgain(form, entry);
  else shown.say("unplaced", { what: entry.typed.join(", ") });
  shown.draw();
}

/* A form with too few lines is asked for again as it was sent. */
async function typeAgain(form, entry) {
  let left = forms.open(form, entry);
  const button = left.length && form.querySelector("button[name]");
  const { page } = button ? await send(asking(entry, button), "now") : {};
  if (page) {
    forms.show(page);
    left = forms.open(forms.formsThatWait()[entry.nth], entry);
  }
  const said = entry.tried ? "maybe" : "reopened";
  shown.say(left.length ? "unplaced" : said, { what: left.join(", ") });
  forms.formsThatWait()[entry.nth].querySelector("input:not([type=hidden]), select, textarea").focus();
}

document.addEventListener("submit", submitted);
document.addEventListener("click", clicked);
document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && lookNow());
addEventListener("online", lookNow);
addEventListener("offline", lookNow);
addEventListener("storage", shown.draw);
/* A page come back to may carry the key of an entry already sent: what is typed now is another. */
addEventListener("pageshow", ({ persisted }) => {
  const back = performance.getEntriesByType("navigation")[0]?.type === "back_forward";
  if (persisted || back) {
    for (const form of forms.formsThatWait()) {
      hold(form, false);
      form.elements.form_key.value = queue.newKey();
    }
  }
  shown.draw();
});
addEventListener("beforeunload", (event) => {
  if (away) event.preventDefault();
});
reopen();
shown.draw();
if (shown.me.user && shown.mine().length) lookNow();
