/* What a sale comes to so far, beside its press: the list with its quantity steps and offers, or what was typed. */
import { readOffers, saved } from "./offers.js";

const MOST = 100_000;
const main = document.querySelector("main");
const theForm = () => main.querySelector("form[data-sums]");

/* An amount as typed in minor units, null where it is none. */
function minor(text, digits) {
  const [, major, rest = ""] = text.trim().match(/^(\d+)(?:[.,](\d+))?$/) || [];
  return major === undefined || rest.length > digits ? null : Number(major + rest.padEnd(digits, "0"));
}

const written = (amount, digits) => (amount / 10 ** digits).toFixed(digits);

/* Whether a row's price is the list's: left as the page showed it, or emptied. */
function isListed(form, price) {
  const shown = form.elements[`initial-${price.name}`];
  return Boolean(shown) && !form.elements.as_shown.checked && ["", shown.value.trim()].includes(price.value.trim());
}

/* The list's price of one of so many, null where none reaches it. */
function byTheList(steps, quantity) {
  const reached = steps.split(" ").filter(Boolean).map((one) => one.split(":").map(Number)).filter(([from]) => from <= quantity);
  return reached.length ? reached.at(-1)[1] : null;
}

/* What a row sells: its line's key, how many, at what price (null: that cannot be said), and whether offers count. */
function row(form, number, digits) {
  const quantity = Number(number.value);
  const field = form.elements[number.dataset.price];
  const listed = isListed(form, field);
  const price = listed ? byTheList(number.dataset.steps, quantity) : minor(field.value, digits);
  return { line: number.name.slice(2), quantity, price: quantity > MOST ? null : price, listed };
}

function comesTo(rows, offers) {
  if (rows.some(({ price }) => price === null)) return null;
  const listed = rows.filter((one) => one.listed);
  return rows.reduce((sum, { quantity, price }) => sum + quantity * price, 0) - saved(listed, offers);
}

function reckon() {
  const form = theForm();
  if (!form) return;
  const output = form.querySelector("output[data-nil]");
  const digits = (output.dataset.nil.split(".")[1] || "").length;
  const filled = [...form.querySelectorAll("input[data-price]")].filter((one) => Number(one.value) > 0);
  const sum = comesTo(filled.map((one) => row(form, one, digits)), readOffers(output.dataset.offers));
  output.textContent = sum === null ? "–" : written(sum, digits);
  output.closest(".sum").hidden = false;
  form.querySelector("[data-about=customer]").hidden = !form.elements.customer.value;
  form.querySelector("[data-about=day]").hidden = form.elements.on.value === form.elements.on.defaultValue;
}

/* A price typed over wants a reason: show where it is given, at once, or a tap there would meet it half open. */
function typedOver({ target }) {
  const form = theForm();
  const fold = form && form.contains(target) && form.querySelector("[data-another-price]");
  if (fold && form.elements[`initial-${target.name}`] && !isListed(form, target)) fold.open = true;
  reckon();
}

document.addEventListener("input", typedOver);
document.addEventListener("change", reckon);
document.addEventListener("reset", () => setTimeout(reckon));
addEventListener("pageshow", reckon);
new MutationObserver(reckon).observe(main, { childList: true });
reckon();
