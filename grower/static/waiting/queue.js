/* What waits on this device: each entry under a key of its own in localStorage, so that tabs do not write over one another. */
const START = "ledger-waits:";
const CLAIM_MS = 30000; // longer than one sending may take
const SETTLED_MS = 40; // until every tab sees what another wrote
export const tab = newKey();

/* A key nobody else has made; crypto.randomUUID is missing where a home network serves plain HTTP. */
export function newKey() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

/* Every entry, the first made first; none where the browser keeps nothing. */
export function all() {
  try {
    const keys = Object.keys(localStorage).filter((key) => key.startsWith(START));
    return keys.map((key) => find(key.slice(START.length))).filter(Boolean).sort((one, other) => one.at - other.at);
  } catch {
    return [];
  }
}

export function find(key) {
  try {
    return JSON.parse(localStorage.getItem(START + key));
  } catch {
    return null;
  }
}

/* Throws where the browser keeps nothing or has no room left. */
export function keep(entry) {
  localStorage.setItem(START + entry.key, JSON.stringify(entry));
}

export function change(key, what) {
  const entry = find(key);
  if (entry) keep({ ...entry, ...what });
}

export function drop(key) {
  localStorage.removeItem(START + key);
}

/* A mark that one tab is sending an entry; it runs out, should the tab be closed meanwhile. */
export function mark() {
  return { tab, until: Date.now() + CLAIM_MS };
}

export function beingSent(entry) {
  return Boolean(entry.going && entry.going.until > Date.now());
}

/* Take an entry to be sent by this tab and return it as it stands, null where it is not to be had: it is gone, it wants to be
   looked at, or another tab sends it. Of two tabs that take it at once, the one that wrote last has it. */
export async function claim(key) {
  const entry = find(key);
  if (!entry || entry.why || beingSent(entry)) return null;
  change(key, { going: mark() });
  await new Promise((go) => setTimeout(go, SETTLED_MS));
  const marked = find(key);
  return marked && marked.going && marked.going.tab === tab ? marked : null;
}
