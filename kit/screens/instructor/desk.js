// What both desks draw: a table whose cells may have a tone, and a sentence with its sign.

const DESK_SIGNS = { good: "✓", warn: "!", bad: "✕" };

function deskTable(rows, label, kind = "") {
  if (!rows?.length) return null;
  const [head, ...body] = rows;
  const cell = (c) => (typeof c === "string" ? h("td", { class: /^[-–±\d]/.test(c) ? "bc-num" : null }, c)
    : h("td", { class: `bc-state bc-state-${c.tone}` }, h("span", { "aria-hidden": "true" }, `${c.sign} `), c.text));
  return h("div", { class: "bc-wide", tabindex: "0", role: "group", "aria-label": label, "data-scroll": label }, h("table", { class: `bc-figures ${kind}`, "aria-label": label },
    h("thead", {}, h("tr", {}, head.map((t) => h("th", { scope: "col" }, t)))),
    h("tbody", {}, body.map(([name, ...cells]) => h("tr", {}, h("th", { scope: "row" }, name), cells.map(cell))))));
}

const saidLine = (one) => h("p", { class: `bc-say bc-say-${one.tone}` }, h("span", { class: "bc-sign", "aria-hidden": "true" }, one.sign ?? DESK_SIGNS[one.tone]), h("span", {}, one.text));
