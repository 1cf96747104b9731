// The list of work orders: one drop-down, what the paper's head says, one button.

function renderShelf({ model, el }) {
  const draft = drafts();
  const id = `bc-shelf-${draft.uid}`;
  let chosen = null;
  const box = h("div", { class: "bc-task-body" });
  const silent = h("p", { class: "bc-silent", role: "alert", hidden: true }, model.get("words").silent);
  const root = h("section", { class: "bc bc-task bc-shelf", "aria-label": model.get("words").shelf }, silent, box);
  const link = line(model, { onBusy: (busy) => { root.classList.toggle("bc-busy", busy); root.setAttribute("aria-busy", String(busy)); }, onSilent: (quiet) => { silent.hidden = !quiet; } });
  const draw = () => {
    const words = model.get("words");
    const rows = model.get("rows");
    const problem = model.get("problem");
    const now = rows.find((row) => row.value === chosen) ?? rows.find((row) => row.opened) ?? rows[0];
    fill([box, [
      h("div", { class: "bc-task-head" }, h("h3", { tabindex: "-1", "data-home": "1" }, words.shelf),
        switchBox(words.language, "language", model.get("languages"), draft, (to) => link.ask({ do: "language", to }))),
      h("form", { class: "bc-form bc-task-form", "aria-label": words.shelf, onsubmit: (e) => { e.preventDefault(); if (now) link.ask({ do: "open", place: now.value }); } },
        h("div", { class: "bc-field" }, h("label", { for: id }, words.choose_order),
          h("select", { id, "data-k": "shelf.choice", onchange: (e) => { chosen = e.target.value; draw(); } },
            rows.map((row) => h("option", { value: row.value, selected: row === now }, row.opened ? `${row.title} (${words.open_now})` : row.title)))),
        now ? h("dl", { class: "bc-head-lines", "aria-live": "polite" }, now.lines.map(([name, text]) => h("div", {}, h("dt", {}, name), h("dd", {}, text)))) : null,
        h("button", { type: "submit", class: "bc-go", "data-k": "shelf.open" }, words.open_visit)),
      problem ? h("p", { class: "bc-wrong", role: "alert" }, problem) : null]]);
  };
  const unfollow = follow(model, ["words", "rows", "languages", "problem"], draw);
  draw();
  const unguard = guardKeys(root);
  el.append(root);
  return () => { unguard(); unfollow(); link.close(); };
}

export default { render: renderShelf };
