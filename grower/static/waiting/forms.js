/* A form as an entry, and an entry as a form again. */
import { newKey } from "./queue.js";

const NOT_KEPT = new Set(["csrfmiddlewaretoken", "form_key"]);
const main = () => document.querySelector("main");
const cameRefused = Boolean(main().querySelector(".refused"));
const pristine = cameRefused ? null : main().cloneNode(true);
let asItCame = !cameRefused;

export const formsThatWait = () => [...document.querySelectorAll("form[data-waits]")];
export const here = () => location.pathname + location.search;

/* Everything the form would send, in words too, and whose it is. */
export function entryOf(form, { user, name }) {
  const action = new URL(form.action);
  return {
    key: form.elements.form_key.value, user, name, at: Date.now(), title: title(form), typed: typed(form), page: here(),
    press: Boolean(form.dataset.says), nth: formsThatWait().indexOf(form), action: action.pathname + action.search,
    fields: [...new FormData(form)].filter(([field]) => !NOT_KEPT.has(field)),
  };
}

/* What the entry is called: the page's heading and subject, and what a form of one press says that it does. */
function title(form) {
  const said = [...main().querySelectorAll("h1, .subject")].slice(0, 2).map((one) => one.textContent.trim().replace(/\s+/g, " "));
  return [...said, form.dataset.says].filter(Boolean).join(", ");
}

/* What was typed, by the words beside each field: the day, and what differs from the form as it came. */
function typed(form) {
  const shown = [...form.elements].filter((one) => one.name && one.type !== "hidden" && one.type !== "submit" && said(one));
  return shown.filter((one) => one.name === "on" || said(one) !== saidAtFirst(one)).map((one) => `${label(one)}: ${said(one)}`);
}

function said(control) {
  if (ticked(control)) return control.checked ? "✓" : "";
  if (control.tagName !== "SELECT") return control.value.trim();
  return [...control.selectedOptions].filter((one) => one.value).map((one) => one.textContent.trim()).join(", ");
}

const ticked = (control) => control.type === "checkbox" || control.type === "radio";

function saidAtFirst(control) {
  const alike = pristine ? [...pristine.querySelectorAll(`[name="${CSS.escape(control.name)}"]`)] : [];
  const first = alike.find((one) => !ticked(one) || one.value === control.value);
  return first ? said(first) : "";
}

function label(control) {
  const beside = control.getAttribute("aria-label") || (control.labels && control.labels[0] && control.labels[0].textContent);
  return (beside || control.name).trim().replace(/\s+/g, " ");
}

/* The form as it was when the page came, ready for the next entry under a key of its own. */
export function blank(form) {
  const afresh = !asItCame && pristine;
  if (afresh) refill(main(), pristine.cloneNode(true));
  else form.reset();
  asItCame = Boolean(pristine);
  for (const one of afresh ? formsThatWait() : [form]) one.elements.form_key.value = newKey();
}

/* Put a page that was answered in place of this one, as the browser would. */
export function show(page) {
  document.title = page.title;
  refill(main(), document.adoptNode(page.querySelector("main")));
  asItCame = false;
  history.replaceState(history.state, "", location.href); // tells whoever follows the browser that a page came
  scrollTo(0, 0);
  const first = main().querySelector("[autofocus]") || main();
  first.focus();
}

function refill(place, filled) {
  place.replaceChildren(...filled.childNodes);
  if (window.htmx) window.htmx.process(place);
}

/* Type an entry into its form again; return the values the form has no room for. */
export function open(form, entry) {
  const left = entry.fields.map((pair) => [...pair]);
  for (const control of form.elements) if (control.name && control.type !== "submit") put(control, left);
  form.elements.form_key.value = entry.key;
  return left.filter(([, value]) => value).map(([field, value]) => `${field} ${value}`);
}

/* What the entry's page showed at first: what was left alone is told from what was typed by it. */
const shownAtFirst = (control) => /^(was_|initial-)/.test(control.name);

/* Take what belongs to a control out of what is left; all else that is hidden stays as the page of now has it. */
function put(control, left) {
  const take = (fits) => {
    const at = left.findIndex(([name, value]) => name === control.name && fits(value));
    return at < 0 ? null : left.splice(at, 1)[0][1];
  };
  if (ticked(control)) control.checked = take((value) => value === control.value) !== null;
  else if (control.multiple) for (const one of control.options) one.selected = take((value) => value === one.value) !== null;
  else if (control.tagName === "SELECT") choose(control, take);
  else if (control.type === "hidden" && !shownAtFirst(control)) take(() => true);
  else control.value = take(() => true) ?? control.value;
  const folded = control.closest("details");
  if (folded && said(control) && said(control) !== saidAtFirst(control)) folded.open = true;
}

function choose(control, take) {
  const value = take((one) => [...control.options].some((option) => option.value === one));
  if (value !== null) control.value = value;
}
