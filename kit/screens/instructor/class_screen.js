// The desk for a class: where the journals are, how far reading has come, the table, one learner.

function feedback(words, mark, folds) {
  const row = (r) => h("li", { class: `bc-mark-${r.tone}` }, h("span", { class: "bc-points" }, r.points),
    h("div", {}, h("strong", {}, h("span", { "aria-hidden": "true" }, `${r.sign} `), r.title), r.text ? h("p", {}, r.text) : null,
      r.more.map(([head, text]) => h("p", { class: "bc-advice" }, h("span", { class: "bc-advice-head" }, `${head}: `), text))));
  const group = (title, rows) => (rows.length ? h("section", {}, h("h4", {}, title), h("ul", { class: "bc-marks" }, rows.map(row))) : null);
  return [h("p", { class: `bc-total bc-mark-${mark.tone}` }, h("span", { "aria-hidden": "true" }, `${mark.sign} `), mark.total),
    mark.changed.map((text) => h("p", { class: "bc-changed" }, text)),
    group(words.critical, mark.critical),
    h("ul", { class: "bc-blocks", "aria-label": words.blocks }, mark.blocks.map((b) => h("li", { class: b.short ? "bc-short" : "" }, h("span", {}, b.title), h("strong", {}, b.short ? `✕ ${b.points}, ${b.least}` : b.points)))),
    group(words.to_work_on, mark.lost),
    mark.kept.length ? h("details", { open: folds.kept, ontoggle: (e) => { folds.kept = e.target.open; } }, h("summary", { "data-k": "fold.kept" }, `${words.done_well} (${mark.kept.length})`), h("ul", { class: "bc-marks" }, mark.kept.map(row))) : null];
}

function renderClass({ model, el }) {
  const draft = drafts();
  let where = null;
  let file = "";
  let urls = [];
  const folds = { kept: false };
  const silent = h("p", { class: "bc-silent", role: "alert", hidden: true });
  const boxes = Object.fromEntries(["head", "now", "table", "one", "files"].map((name) => [name, h("div", { class: `bc-class-${name}` })]));
  const root = h("section", { class: "bc bc-task bc-desk bc-class" }, silent, Object.values(boxes));
  const link = line(model, { onBusy: (busy) => { root.classList.toggle("bc-busy", busy); root.setAttribute("aria-busy", String(busy)); }, onSilent: (quiet) => { silent.hidden = !quiet; } });
  const wrong = (field) => { const p = model.get("problem"); return p && p.field === field ? p.text : null; };
  const drawHead = () => {
    const words = model.get("words");
    const places = model.get("places");
    const running = model.get("progress").running;
    where = where ?? places.where;
    silent.textContent = words.silent;
    root.setAttribute("aria-label", words.desk);
    root.setAttribute("lang", words.lang);
    const id = `bc-class-folder-${draft.uid}`;
    fill([boxes.head, [h("div", { class: "bc-task-head" }, h("h3", { tabindex: "-1", "data-home": "1" }, words.desk),
      switchBox(words.units, "units", places.units, draft, (to) => link.ask({ do: "units", to })), switchBox(words.language, "language", places.languages, draft, (to) => link.ask({ do: "language", to }))),
      places.review ? h("p", { class: "bc-hint" }, places.review) : null,
      h("form", { class: "bc-form bc-task-form", "aria-label": words.where, onsubmit: (e) => { e.preventDefault(); link.ask({ do: "read", where, folder: draft.get("folder", places.folder) }); } },
        h("fieldset", { class: "bc-field" }, h("legend", {}, words.where), places.choices.map((c) => h("label", { class: "bc-tick" },
          h("input", { type: "radio", name: `where-${draft.uid}`, "data-k": `where.${c.value}`, value: c.value, checked: c.value === where, onchange: () => { where = c.value; drawHead(); } }), h("span", {}, c.label)))),
        where === "other" ? h("div", { class: "bc-field" }, h("label", { for: id }, words.folder), h("input", { type: "text", id, class: "bc-path", "data-k": "class.folder", autocomplete: "off", spellcheck: "false", "aria-invalid": wrong("folder") ? "true" : null,
          value: draft.get("folder", places.folder), oninput: (e) => draft.set("folder", e.target.value) })) : null,
        h("div", { class: "bc-desk-row" }, running ? h("button", { type: "button", "data-k": "class.cancel", onclick: () => link.ask({ do: "cancel" }) }, words.cancel) : h("button", { type: "submit", class: "bc-go", "data-k": "class.read" }, words.read)))]]);
  };
  const drawNow = () => {
    const words = model.get("words");
    const { running, done, all, text } = model.get("progress");
    const problem = model.get("problem");
    const notice = model.get("notice");
    fill([boxes.now, [running ? h("div", { class: "bc-progress" }, h("progress", { max: Math.max(all, 1), value: done, "aria-label": words.read }), h("span", {}, text)) : null,
      h("div", { role: "status", "aria-live": "polite" }, !running && notice ? saidLine(notice) : null, problem ? h("p", { class: "bc-wrong" }, `${words.refused} ${problem.text}`) : null)]]);
  };
  const drawTable = () => {
    const words = model.get("words");
    const table = model.get("table");
    const lost = model.get("lost");
    const told = model.get("told");
    fill([boxes.table, table.length || told.length ? [h("h3", { tabindex: "-1", "data-home": "1" }, words.table), deskTable(table, words.table, "bc-class-table"),
      lost.length > 1 ? [h("h3", {}, words.lost), deskTable(lost, words.lost, "bc-class-table")] : null,
      told.length ? [h("h3", {}, words.told), h("ul", { class: "bc-told-files" }, told.map(([name, counts, why]) => h("li", {}, h("strong", {}, name), ` (${counts}): ${why}`)))] : null] : [h("p", { class: "bc-hint" }, words.nothing)]]);
  };
  const drawOne = () => {
    const words = model.get("words");
    const visits = model.get("visits");
    const one = model.get("opened");
    const id = `bc-class-visit-${draft.uid}`;
    if (!visits.some((v) => v.value === file)) file = visits[0]?.value ?? "";
    const action = { name: "override", fields: one?.fields ?? [] };
    fill([boxes.one, visits.length ? [h("h3", { tabindex: "-1", "data-home": "1" }, words.show),
      h("form", { class: "bc-desk-row", "aria-label": words.show, onsubmit: (e) => { e.preventDefault(); link.ask({ do: "open", file }); } },
        h("div", { class: "bc-field" }, h("label", { for: id }, words.visit), h("select", { id, "data-k": "class.visit", onchange: (e) => { file = e.target.value; } }, visits.map((v) => h("option", { value: v.value, selected: v.value === file }, v.label)))),
        h("button", { type: "submit", "data-k": "class.open" }, words.open)),
      one ? h("section", { class: "bc-one", "aria-label": one.title }, h("h3", {}, one.title), h("p", { class: "bc-key" }, h("strong", {}, `${words.key}: `), one.key), feedback(words, one.verdict, folds),
        h("form", { class: "bc-form bc-override", "aria-label": words.override, onsubmit: (e) => { e.preventDefault(); link.ask({ do: "override", args: collect(action, draft) }); } },
          h("h4", {}, words.override), action.fields.map((f) => fieldBox(action, f, draft, words, model.get("problem"), drawOne)),
          h("button", { type: "submit", class: "bc-go", "data-k": "class.override" }, words.change))) : null] : []]);
  };
  const drawFiles = () => {
    const words = model.get("words");
    urls.forEach((url) => URL.revokeObjectURL(url));
    urls = [];
    const href = ({ kind, text }) => { const url = URL.createObjectURL(new Blob([text], { type: `${kind};charset=utf-8` })); urls.push(url); return url; };
    fill([boxes.files, model.get("table").length ? [h("h3", { tabindex: "-1", "data-home": "1" }, words.export), h("p", { class: "bc-hint" }, words.export_lead),
      h("div", { class: "bc-desk-row" }, h("button", { type: "button", "data-k": "class.export", onclick: () => link.ask({ do: "export" }) }, words.export),
        model.get("files").map((f) => h("a", { class: "bc-link", href: href(f), download: f.name, "data-k": `file.${f.kind}` }, `${words.download}: ${f.name}`)))] : []]);
  };
  const draws = { words: [drawHead, drawNow, drawTable, drawOne, drawFiles], places: [drawHead], progress: [drawNow, drawHead], notice: [drawNow], problem: [drawNow, drawHead, drawOne], table: [drawTable, drawFiles], lost: [drawTable], told: [drawTable], visits: [drawOne], opened: [drawOne], files: [drawFiles] };
  const unfollow = followParts(model, draws);
  model.on("change:opened", () => draft.drop((key) => key.startsWith("override.")));
  [drawHead, drawNow, drawTable, drawOne, drawFiles].forEach((draw) => draw());
  const unguard = guardKeys(root);
  el.append(root);
  return () => { unguard(); urls.forEach((url) => URL.revokeObjectURL(url)); unfollow(); link.close(); };
}

export default { render: renderClass };
