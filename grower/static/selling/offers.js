/* What offers of several together take off a sale, as the ledger reckons it: the offer that saves most first, dearest units first. */

/* Offers as a page says them, “key:quantity:amount:line,line” each. */
export function readOffers(said) {
  return said.split(" ").filter(Boolean).map((one) => {
    const [key, quantity, amount, lines] = one.split(":");
    return { key: Number(key), quantity: Number(quantity), amount: Number(amount), lines: new Set(lines.split(",")) };
  });
}

/* What they save on what is sold ({ line, quantity, price }), all amounts in minor units. */
export function saved(sold, offers) {
  let left = sold.flatMap(({ line, quantity, price }) => Array.from({ length: quantity }, () => ({ line: String(line), price })));
  left.sort((one, other) => other.price - one.price);
  let waiting = [...offers].sort((one, other) => one.key - other.key);
  let saving = 0;
  while (waiting.length) {
    const tried = waiting.map((offer) => ({ offer, ...counted(left, offer) }));
    const best = tried.reduce((one, other) => (other.saves > one.saves ? other : one));
    if (best.saves <= 0) break;
    saving += best.saves;
    left = left.filter((unit) => !best.units.has(unit));
    waiting = waiting.filter((offer) => offer !== best.offer);
  }
  return saving;
}

/* The units an offer takes, whole sets as long as a set costs more than the offer, and what it saves on them. */
function counted(left, { quantity, amount, lines }) {
  const mine = left.filter((unit) => lines.has(unit.line));
  const units = new Set();
  let saves = 0;
  for (let at = 0; at + quantity <= mine.length; at += quantity) {
    const set = mine.slice(at, at + quantity);
    const worth = set.reduce((sum, unit) => sum + unit.price, 0);
    if (worth <= amount) break;
    saves += worth - amount;
    for (const unit of set) units.add(unit);
  }
  return { units, saves };
}
