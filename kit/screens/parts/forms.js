// The form of one action, built from what the model says the action needs.

function fieldBox(action, field, draft, words, problem, redraw) {
  const key = `${action.name}.${field.name}`;
  const id = `bc-${key}-${draft.uid}`;
  const wrong = problem && problem.field === field.name ? problem.text : null;
  const hint = [field.hint, field.required ? null : words.optional].filter(Boolean).join(" · ");
  const described = [hint ? `${id}-hint` : null, wrong ? `${id}-wrong` : null].filter(Boolean).join(" ");
  const value = draft.get(key, field.default);
  const extra = [
    hint ? h("p", { class: "bc-hint", id: `${id}-hint` }, hint) : null,
    wrong ? h("p", { class: "bc-wrong", id: `${id}-wrong`, role: "alert" }, `${words.refused} ${wrong}`) : null,
  ];
  const common = { "data-k": key, id, "aria-describedby": described || null, "aria-invalid": wrong ? "true" : null };
  const choices = field.depends_on
    ? (field.choices_by[draft.get(`${action.name}.${field.depends_on}`, field.depends_default)] ?? [])
    : field.choices;
  if (field.kind === "choice" && choices.length <= 4 && !field.depends_on) {
    return radios(field, choices, key, value, draft, described, extra, redraw);
  }
  if (field.kind === "choices") return ticks(field, choices, key, value ?? [], draft, described, extra);
  if (field.kind === "flag") {
    const box = h("input", { ...common, type: "checkbox", checked: value, onchange: (e) => draft.set(key, e.target.checked) });
    return h("div", { class: "bc-field" }, h("label", { class: "bc-tick", for: id }, box, h("span", {}, field.title)), extra);
  }
  let control;
  if (field.kind === "choice") {
    const known = choices.some((c) => c.value === value) ? value : "";
    control = h("select", { ...common, onchange: (e) => { draft.set(key, e.target.value); redraw(); } },
      h("option", { value: "" }, words.choose),
      choices.map((c) => h("option", { value: c.value, selected: c.value === known }, c.label)));
  } else {
    control = h("input", { ...common, type: "text", inputmode: field.kind === "number" ? "decimal" : null,
      autocomplete: "off", spellcheck: "false", value: value ?? "", oninput: (e) => draft.set(key, e.target.value) });
  }
  const symbol = field.unit || field.unit_by[draft.get(`${action.name}.${field.unit_of}`, null)] || "";
  const unit = symbol ? h("span", { class: "bc-unit", "aria-hidden": "true" }, symbol) : null;
  const title = symbol ? [field.title, h("span", { class: "bc-away" }, ` (${symbol})`)] : field.title;
  return h("div", { class: "bc-field" }, h("label", { for: id }, title), h("span", { class: "bc-with-unit" }, control, unit), extra);
}

function radios(field, choices, key, value, draft, described, extra, redraw) {
  return h("fieldset", { class: "bc-field", "aria-describedby": described || null }, h("legend", {}, field.title),
    h("div", { class: "bc-options" }, choices.map((c) => h("label", { class: "bc-tick" },
      h("input", { type: "radio", name: `${key}-${draft.uid}`, "data-k": `${key}.${c.value}`, value: c.value, checked: c.value === value,
        onchange: () => { draft.set(key, c.value); redraw(); } }), h("span", {}, c.label)))), extra);
}

function ticks(field, choices, key, value, draft, described, extra) {
  return h("fieldset", { class: "bc-field", "aria-describedby": described || null }, h("legend", {}, field.title),
    h("div", { class: "bc-options" }, choices.map((c) => h("label", { class: "bc-tick" },
      h("input", { type: "checkbox", "data-k": `${key}.${c.value}`, value: c.value, checked: value.includes(c.value),
        onchange: (e) => {
          const now = new Set(draft.get(key, value));
          if (e.target.checked) now.add(c.value); else now.delete(c.value);
          draft.set(key, [...now]);
        } }), h("span", {}, c.label)))), extra);
}

// What a learner has typed or ticked but not sent. It is the view's own; nothing of it is state.
function drafts() {
  const kept = new Map();
  const uid = Math.random().toString(36).slice(2, 8);
  return {
    uid,
    get: (key, otherwise) => (kept.has(key) ? kept.get(key) : otherwise),
    set: (key, value) => kept.set(key, value),
    drop: (test) => { for (const key of [...kept.keys()]) if (test(key)) kept.delete(key); },
  };
}

function collect(action, draft) {
  const args = {};
  for (const field of action.fields) {
    const value = draft.get(`${action.name}.${field.name}`, field.default);
    if (value !== undefined && value !== null && value !== "") args[field.name] = value;
  }
  return args;
}

function cautionNote(text, words) {
  return h("p", { class: "bc-caution" }, h("span", { class: "bc-sign", "aria-hidden": "true" }, "!"),
    h("span", {}, h("strong", {}, `${words.caution} `), text));
}

// The first words always stand there; the rest opens.
function cautionFold(caution, tools, key) {
  const sign = h("span", { class: "bc-sign", "aria-hidden": "true" }, "!");
  if (!caution.rest) return cautionNote(caution.head, tools.words);
  const name = `caution.${key}.${caution.code}`;
  return h("details", { class: "bc-caution bc-caution-fold", open: tools.opened.has(name), ontoggle: (e) => (e.target.open ? tools.opened.add(name) : tools.opened.delete(name)) },
    h("summary", { "data-k": name }, sign, h("span", {}, h("strong", {}, `${tools.words.caution} `), caution.head)), h("p", {}, caution.rest));
}

// One action: a plain button, a row of buttons to pick from, or a button that opens a form.
function offerBox(action, tools, notes) {
  const { draft, words, problem, opened, ask, redraw } = tools;
  const mine = problem && problem.action === action.name ? problem : null;
  const loose = mine && !action.fields.some((f) => f.name === mine.field)
    ? h("p", { class: "bc-wrong", role: "alert" }, `${words.refused} ${mine.text}`) : null;
  const plain = action.fields.length === 0;
  const open = !plain && opened.has(action.name);
  const press = () => (plain ? ask(action, {}) : (open ? opened.delete(action.name) : opened.add(action.name), redraw()));
  const button = h("button", { type: "button", class: plain ? "bc-do" : "bc-do bc-more", "data-k": `offer.${action.name}`,
    "aria-expanded": plain ? null : String(open), onclick: press }, h("span", {}, action.title), action.takes ? h("small", {}, action.takes) : null);
  const full = action.cautions.map((c) => cautionNote(c.text, words));
  let form = null;
  if (open && action.pick) {
    form = h("div", { class: "bc-form bc-picks", role: "group", "aria-label": action.title }, full, action.fields[0].choices.map((c) =>
      h("button", { type: "button", "data-k": `pick.${action.name}.${c.value}`, onclick: () => ask(action, { [action.fields[0].name]: c.value }) }, c.label)));
  } else if (open) {
    form = h("form", { class: "bc-form", "aria-label": action.title, onsubmit: (e) => { e.preventDefault(); ask(action, collect(action, draft)); } }, full,
      action.fields.map((f) => fieldBox(action, f, draft, words, mine, redraw)),
      h("button", { type: "submit", class: "bc-go", "data-k": `go.${action.name}` }, action.title));
  }
  return h("li", { class: "bc-offer", "data-action": action.name }, open ? null : notes.map((note) => cautionFold(note, tools, action.name)), button, form, loose);
}

// Each caution stands once in a list, before the first action that meets its hazard.
function offerList(actions, tools) {
  const groups = new Map();
  const told = new Set();
  for (const action of actions) {
    if (!groups.has(action.phase)) groups.set(action.phase, []);
    groups.get(action.phase).push(action);
  }
  return [...groups].map(([phase, list]) => h("section", { class: "bc-phase" }, h("h4", {}, phase), h("ul", { class: "bc-list" }, list.map((action) => {
    const fresh = action.cautions.filter((c) => !told.has(c.code));
    fresh.forEach((c) => told.add(c.code));
    return offerBox(action, tools, fresh);
  }))));
}
