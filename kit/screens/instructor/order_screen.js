// The desk for work orders: the form on one side, what the unit will read on the other.

function renderOrder({ model, el }) {
  const draft = drafts();
  const opened = new Set(["paper", "unit", "faults"]);
  let generation = null;
  let timer = null;
  let which = "";
  const silent = h("p", { class: "bc-silent", role: "alert", hidden: true });
  const boxes = Object.fromEntries(["head", "form", "reads", "foot"].map((name) => [name, h("div", name === "reads" ? { class: "bc-desk-reads", tabindex: "0", role: "group", "data-scroll": "reads" } : { class: `bc-desk-${name}` })]));
  const root = h("section", { class: "bc bc-task bc-desk" }, silent, boxes.head, h("div", { class: "bc-desk-sides" }, boxes.form, boxes.reads), boxes.foot);
  const link = line(model, { onBusy: (busy) => { root.classList.toggle("bc-busy", busy); root.setAttribute("aria-busy", String(busy)); }, onSilent: (quiet) => { silent.hidden = !quiet; } });
  const all = () => model.get("form").sections.flatMap((section) => section.fields);
  const whole = () => ({ name: "order", fields: all() });
  const args = () => {
    const found = collect(whole(), draft); // a level that is not shown says nothing
    for (const name of Object.keys(found)) {
      const [stem, n] = name.split("_");
      if ((stem === "level" && found[`severity_${n}`] !== "exact") || ((stem === "level" || stem === "severity") && !found[`fault_${n}`])) delete found[name];
    }
    return found;
  };
  const now = (name) => draft.get(`order.${name}`, all().find((f) => f.name === name)?.default);
  const ask = (what, more = {}) => { clearTimeout(timer); link.ask({ do: what, args: args(), ...more }); };
  const plan = () => { clearTimeout(timer); timer = setTimeout(() => (link.busy() ? plan() : ask("look")), 350); };

  const slot = (fields, n) => {
    const [choice, how, level] = ["fault", "severity", "level"].map((stem) => fields.find((f) => f.name === `${stem}_${n}`));
    if (n > 1 && !now(`fault_${n - 1}`) && !now(choice.name)) return null;
    const facts = model.get("facts")[now(choice.name)];
    const box = (f) => fieldBox(whole(), f, draft, model.get("words"), model.get("problem"), drawForm);
    return h("div", { class: "bc-slot" }, h("div", { class: "bc-desk-row" }, box(choice), facts ? box(how) : null, facts && now(how.name) === "exact" ? box(level) : null),
      facts ? h("dl", { class: "bc-facts" }, facts.lines.map(([name, text]) => h("div", {}, h("dt", {}, name), h("dd", {}, text)))) : null);
  };
  const section = ({ name, fields }) => {
    const words = model.get("words");
    const wrong = fields.some((f) => f.name === model.get("problem")?.field);
    const open = opened.has(name) || wrong;
    const lively = name === "unit" || name === "faults" || name === "site";
    const inside = () => [words[`${name}_lead`] ? h("p", { class: "bc-hint" }, words[`${name}_lead`]) : null,
      name === "faults" ? Array.from({ length: fields.length / 3 }, (_, i) => slot(fields, i + 1))
        : h("div", { class: `bc-desk-row bc-desk-${name}` }, fields.map((f) => fieldBox(whole(), f, draft, words, model.get("problem"), drawForm)))];
    return h("section", { class: "bc-desk-part", "data-part": name, onchange: lively ? plan : null },
      h("h4", {}, h("button", { type: "button", class: "bc-group", "data-k": `part.${name}`, "aria-expanded": String(open), onclick: () => { opened.has(name) ? opened.delete(name) : opened.add(name); drawForm(); } },
        h("span", { "aria-hidden": "true" }, open ? "▾ " : "▸ "), words[name])), open ? inside() : null);
  };
  const drawForm = () => {
    const words = model.get("words");
    const form = model.get("form");
    if (form.generation !== generation) { draft.drop((key) => key.startsWith("order.")); generation = form.generation; }
    fill([boxes.form, [h("form", { class: "bc-form bc-desk-form", "aria-label": words.desk, onsubmit: (e) => { e.preventDefault(); ask("look"); } },
      form.sections.map(section), h("button", { type: "submit", "data-k": "desk.look" }, words.look))]]);
  };
  const drawReads = () => {
    const words = model.get("words");
    const reads = model.get("reads");
    const problem = model.get("problem");
    boxes.reads.setAttribute("aria-label", words.reads);
    fill([boxes.reads, [h("h3", { tabindex: "-1", "data-home": "1" }, words.reads), h("p", { class: "bc-hint" }, words.reads_lead),
      h("div", { role: "status", "aria-live": "polite" }, problem ? h("p", { class: "bc-wrong" }, `${words.refused} ${problem.text}`) : null,
        reads ? saidLine(reads.whole) : problem ? null : h("p", {}, words.no_preview), model.get("warnings").map((text) => saidLine({ tone: "warn", text }))),
      reads ? [deskTable(reads.readings, words.reads),
        reads.faults.map((one) => h("section", { class: "bc-judged" }, h("h4", {}, one.title), one.said.map(saidLine), deskTable(one.signs, one.title), deskTable(one.twins, `${one.title}: ${one.twins[0]?.[0] ?? ""}`)))] : null]]);
  };
  const drawFoot = () => {
    const words = model.get("words");
    const problem = model.get("problem");
    const notice = model.get("notice");
    const { folder, broken } = model.get("shelf");
    fill([boxes.foot, [h("div", { role: "status", "aria-live": "polite" }, notice ? saidLine(notice) : null, problem ? h("p", { class: "bc-wrong" }, `${words.refused} ${problem.text}`) : null),
      h("div", { class: "bc-desk-row" }, h("button", { type: "button", class: "bc-go", "data-k": "desk.save", onclick: () => ask("save") }, words.save),
        problem?.taken ? h("button", { type: "button", "data-k": "desk.over", onclick: () => ask("save", { over: true }) }, words.save_over) : null,
        h("button", { type: "button", "data-k": "desk.try", onclick: () => ask("try") }, words.try)),
      h("p", { class: "bc-hint" }, `${words.saved_in}: `, h("code", {}, folder)),
      broken.length ? h("div", {}, h("p", { class: "bc-hint" }, words.broken), h("ul", { class: "bc-broken" }, broken.map((text) => h("li", {}, text)))) : null]]);
  };
  const drawHead = () => {
    const words = model.get("words");
    const form = model.get("form");
    const id = `bc-desk-${draft.uid}`;
    silent.textContent = words.silent;
    root.setAttribute("aria-label", words.desk);
    root.setAttribute("lang", words.lang);
    fill([boxes.head, [h("div", { class: "bc-task-head" }, h("h3", { tabindex: "-1", "data-home": "1" }, words.desk),
      switchBox(words.units, "units", form.units, draft, (to) => ask("units", { to })), switchBox(words.language, "language", form.languages, draft, (to) => ask("language", { to }))),
      form.review ? h("p", { class: "bc-hint" }, form.review) : null,
      h("form", { class: "bc-desk-row", "aria-label": words.begin_with, onsubmit: (e) => { e.preventDefault(); ask("load", { which }); } },
        h("div", { class: "bc-field" }, h("label", { for: id }, words.begin_with), h("select", { id, "data-k": "desk.which", onchange: (e) => { which = e.target.value; } },
          h("option", { value: "" }, words.empty), model.get("shelf").choices.map((c) => h("option", { value: c.value, selected: c.value === which }, c.label)))),
        h("button", { type: "submit", "data-k": "desk.load" }, words.fetch))]]);
  };
  const draws = { words: [drawHead, drawForm, drawReads, drawFoot], form: [drawHead, drawForm], facts: [drawForm], shelf: [drawHead, drawFoot], reads: [drawReads], warnings: [drawReads], problem: [drawForm, drawReads, drawFoot], notice: [drawFoot] };
  const unfollow = followParts(model, draws);
  [drawHead, drawForm, drawReads, drawFoot].forEach((draw) => draw());
  const unguard = guardKeys(root);
  el.append(root);
  return () => { clearTimeout(timer); unguard(); unfollow(); link.close(); };
}

export default { render: renderOrder };
