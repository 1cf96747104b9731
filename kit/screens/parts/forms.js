// More than so many things to tick are picked from a list instead, one after the other.
const MANY = 24;

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
  if (field.kind === "choices") {
    return choices.length > MANY ? gathered(field, choices, key, value ?? [], draft, described, extra, words, redraw)
      : ticks(field, choices, key, value ?? [], draft, described, extra);
  }
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

// What was picked stands above the list, each with a button that takes it out again.
function gathered(field, choices, key, value, draft, described, extra, words, redraw) {
  const next = `${key}.next`;
  const label = (one) => choices.find((c) => c.value === one)?.label ?? one;
  const set = (list) => { draft.set(key, list); draft.set(next, ""); redraw(); };
  const id = `bc-${next}-${draft.uid}`;
  return h("fieldset", { class: "bc-field", "aria-describedby": described || null }, h("legend", {}, field.title),
    value.length ? h("ul", { class: "bc-picked" }, value.map((one) => h("li", {}, h("span", {}, label(one)), h("button", { type: "button", class: "bc-small", "data-k": `${key}.out.${one}`,
      "aria-label": `${words.take_out}: ${label(one)}`, onclick: () => set(value.filter((v) => v !== one)) }, "✕")))) : null,
    h("div", { class: "bc-gather" }, h("select", { id, "data-k": next, "aria-label": field.title, onchange: (e) => draft.set(next, e.target.value) }, h("option", { value: "" }, words.choose),
      choices.filter((c) => !value.includes(c.value)).map((c) => h("option", { value: c.value, selected: c.value === draft.get(next, "") }, c.label))),
      h("button", { type: "button", class: "bc-small", "data-k": `${key}.add`, "aria-label": `${words.add}: ${field.title}`, onclick: () => { const one = draft.get(next, ""); if (one) set([...value, one]); } }, words.add)), extra);
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

// The hazards of a place as signs; each opens its caution.
function dangerBar(actions, tools) {
  const { words, opened, redraw } = tools;
  const met = new Map(actions.flatMap((action) => action.cautions).map((c) => [c.code, c]));
  if (!met.size) return null;
  const signs = [...met.values()].map((c) => {
    const key = `caution.${c.code}`;
    const open = opened.has(key);
    return h("button", { type: "button", class: "bc-danger", "data-k": key, "aria-expanded": String(open), onclick: () => { open ? opened.delete(key) : opened.add(key); redraw(); } },
      h("span", { class: "bc-sign", "aria-hidden": "true" }, "!"), h("span", { class: "bc-away" }, `${words.caution} `), c.name);
  });
  return h("div", { class: "bc-signs", role: "group", "aria-label": words.cautions }, signs);
}

function dangerTexts(actions, tools) {
  const met = new Map(actions.flatMap((action) => action.cautions).map((c) => [c.code, c]));
  return [...met.values()].filter((c) => tools.opened.has(`caution.${c.code}`)).map((c) => cautionNote(c.text, tools.words));
}

// One action: a plain button, a row of buttons to pick from, or a button that opens a form. What a
// single press would do opens as well as long as one of its cautions was not yet told. A caution is
// told in full where its hazard is first met; from then on its sign stands at the place's name.
function offerBox(action, tools) {
  const { draft, words, problem, opened, ask, redraw } = tools;
  const mine = problem && problem.action === action.name ? problem : null;
  const loose = mine && !action.fields.some((f) => f.name === mine.field)
    ? h("p", { class: "bc-wrong", role: "alert" }, `${words.refused} ${mine.text}`) : null;
  const plain = action.fields.length === 0 && action.cautions.every((c) => c.told);
  const open = !plain && opened.has(action.name);
  const press = () => (plain ? ask(action, {}) : (open ? opened.delete(action.name) : opened.add(action.name), redraw()));
  const button = h("button", { type: "button", class: plain ? "bc-do" : "bc-do bc-more", "data-k": `offer.${action.name}`,
    "aria-expanded": plain ? null : String(open), onclick: press }, h("span", {}, action.title), action.takes ? h("small", {}, action.takes) : null);
  let form = null;
  if (open) {
    const full = action.cautions.filter((c) => !c.told).map((c) => cautionNote(c.text, words));
    form = action.pick
      ? h("div", { class: "bc-form bc-picks", role: "group", "aria-label": action.title }, full, action.fields[0].choices.map((c) =>
        h("button", { type: "button", "data-k": `pick.${action.name}.${c.value}`, onclick: () => ask(action, { [action.fields[0].name]: c.value }) }, c.label)))
      : h("form", { class: "bc-form", "aria-label": action.title, onsubmit: (e) => { e.preventDefault(); ask(action, collect(action, draft)); } }, full,
        action.fields.map((f) => fieldBox(action, f, draft, words, mine, redraw)),
        h("button", { type: "submit", class: "bc-go", "data-k": `go.${action.name}` }, action.title));
  }
  return h("li", { class: open || loose ? "bc-offer bc-open" : "bc-offer", "data-action": action.name }, button, form, loose);
}

// Kinds of work with their actions, in the order in which the model gives them. Where there is much
// to do, each kind opens by itself and stays as it was left.
const FEW = 7;

function offerList(actions, tools) {
  const { opened, redraw } = tools;
  const groups = new Map();
  for (const action of actions) {
    if (!groups.has(action.group)) groups.set(action.group, []);
    groups.get(action.group).push(action);
  }
  const few = actions.length <= FEW;
  return [...groups].map(([name, list]) => {
    const key = `group.${list[0].part}.${name}`;
    const open = few || opened.has(key);
    const head = few ? list[0].heading : h("button", { type: "button", class: "bc-group", "data-k": key, "aria-expanded": String(open), onclick: () => { open ? opened.delete(key) : opened.add(key); redraw(); } },
      h("span", { "aria-hidden": "true" }, open ? "▾ " : "▸ "), list[0].heading, h("small", {}, ` ${list.length}`));
    return h("section", { class: "bc-phase" }, h("h4", {}, head), open ? h("ul", { class: "bc-list" }, list.map((action) => offerBox(action, tools))) : null);
  });
}
