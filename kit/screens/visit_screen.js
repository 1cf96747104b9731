// The screen for a whole visit. It draws what the model says and sends what the learner does.

const JUMP_S = 8; // a longer step of the clock is shown as passing time

function runningClock(model, show) {
  let shown = model.get("clock").s;
  let frame = null;
  const stop = () => { cancelAnimationFrame(frame); frame = null; };
  const finish = () => { stop(); shown = model.get("clock").s; show(shown, false); };
  const start = () => {
    const from = shown;
    const to = model.get("clock").s;
    stop();
    if (to - from < JUMP_S || calm()) return finish();
    const begin = performance.now();
    const lasts = Math.min(4000, 300 + 4 * (to - from));
    const tick = (at) => {
      const part = Math.min(1, Math.max(0, (at - begin) / lasts));
      shown = from + (to - from) * part;
      if (part < 1) { show(shown, true); frame = requestAnimationFrame(tick); } else finish();
    };
    frame = requestAnimationFrame(tick);
    return undefined;
  };
  return { start, finish, stop, now: () => shown, moving: () => frame !== null };
}

function headBox(view) {
  const { model, words, clock, ask, draft } = view;
  const card = model.get("card");
  const wait = model.get("waiting");
  const problem = model.get("problem");
  const stuck = problem?.action === "wait" ? problem.text : null;
  const minutes = (n) => h("button", { type: "button", class: "bc-wait", "data-k": `wait.${n}`, "aria-label": `${words.wait} ${n} ${words.minutes}`,
    onclick: () => ask(wait, { [wait.field]: String(n) }) }, `${n}`);
  return [
    h("div", { class: "bc-order" }, h("h3", { tabindex: "-1", "data-home": "1" }, card.title), h("p", {}, card.under)),
    h("div", { class: "bc-time" }, h("span", { class: "bc-label" }, words.on_site), h("span", { class: "bc-clock", "data-live": "clock" }, clockText(clock.now()))),
    wait ? h("div", { class: "bc-waits", role: "group", "aria-label": words.wait_group }, h("span", { class: "bc-label", "aria-hidden": "true" }, words.wait_minutes),
      wait.offers.map(minutes), h("form", { class: "bc-wait-form", onsubmit: (e) => { e.preventDefault(); ask(wait, { [wait.field]: draft.get("wait.own", "") }); } },
        h("input", { type: "text", inputmode: "decimal", autocomplete: "off", "data-k": "wait.own", "aria-label": words.wait_own, "aria-invalid": stuck ? "true" : null, "aria-describedby": stuck ? `bc-wait-${draft.uid}` : null,
          value: draft.get("wait.own", ""), oninput: (e) => draft.set("wait.own", e.target.value) }), h("button", { type: "submit", "data-k": "wait.go" }, words.wait)),
      h("button", { type: "button", class: "bc-wait bc-skip", "data-k": "skip", "data-live": "skip", hidden: !clock.moving(), onclick: clock.finish }, words.skip)) : null,
    stuck ? h("p", { class: "bc-wrong bc-wait-wrong", id: `bc-wait-${draft.uid}`, role: "alert" }, `${words.refused} ${stuck}`) : null,
    h("div", { class: "bc-switches" }, switchBox(words.units, "units", card.units, draft, (to) => ask(null, { to }, "units")),
      switchBox(words.language, "language", card.languages, draft, (to) => ask(null, { to }, "language"))),
    h("details", { class: "bc-paperwork", open: view.folds.order, ontoggle: (e) => { view.folds.order = e.target.open; } },
      h("summary", { "data-k": "fold.order" }, words.order), h("div", { class: "bc-paperwork-body" }, card.unread ? h("p", {}, card.unread) : null, h("dl", {}, card.lines.map(([name, text]) => [h("dt", {}, name), h("dd", {}, text)])),
        h("p", { class: "bc-caution" }, h("span", { class: "bc-sign", "aria-hidden": "true" }, "!"), h("span", {}, card.safety)),
        card.review ? h("p", { class: "bc-hint" }, card.review) : null, card.notice ? h("p", { class: "bc-hint" }, card.notice) : null, againBox(view))),
  ];
}

// Beginning anew asks twice: the first press only shows the second.
function againBox(view) {
  const { words, folds, ask } = view;
  if (!view.model.get("card").begun) return null;
  return h("div", {}, h("button", { type: "button", class: "bc-small", "data-k": "again", "aria-expanded": String(folds.again), onclick: () => { folds.again = !folds.again; view.draw("head"); } }, words.again),
    folds.again ? h("button", { type: "button", class: "bc-small bc-sure", "data-k": "again.sure", onclick: () => { folds.again = false; ask(null, {}, "again"); } }, words.again_sure) : null);
}

function placeBox(view) {
  const { model, words } = view;
  const site = model.get("site");
  const here = site.parts.find((part) => part.selected) ?? site.parts[0];
  const all = model.get("offers");
  const list = all.filter((a) => a.part === here.name && !a.corner && a.available);
  const not = all.filter((a) => a.part === here.name && !a.corner && !a.available);
  return [
    h("div", { class: "bc-place-head" }, h("h3", { tabindex: "-1", "data-home": "1" }, here.label), here.state ? h("p", { class: "bc-state" }, here.state) : null, dangerBar(list, view.tools())),
    h("div", { class: "bc-offers", "data-scroll": "place", tabindex: "0", role: "group", "aria-label": `${words.here} ${here.label}` },
      dangerTexts(list, view.tools()), list.length ? offerList(list, view.tools()) : h("p", { class: "bc-hint" }, words.nothing),
      not.length ? h("details", { class: "bc-not", open: view.folds.not, ontoggle: (e) => { view.folds.not = e.target.open; } }, h("summary", { "data-k": "fold.not" }, words.not_now),
        h("ul", { class: "bc-plain" }, not.map((a) => h("li", {}, h("strong", {}, a.title), `: ${a.why}`)))) : null),
  ];
}

function saidBox(view) {
  const { model, words } = view;
  const said = model.get("said");
  const story = model.get("story");
  const problem = model.get("problem");
  return [
    problem && !problem.field && !["record", "wait"].includes(problem.action) ? h("p", { class: "bc-wrong bc-stumbled", role: "alert" }, `${words.refused} ${problem.text}`) : null,
    h("div", { class: `bc-seen bc-said-${said.tone}` }, said.pictures.length ? h("div", { class: "bc-looks" }, said.pictures.map((picture) => lookBox(picture, said.lines))) : null,
      h("div", { class: "bc-said", role: "status", "aria-live": "polite" },
        h("p", { class: "bc-said-head" }, h("span", { class: "bc-sign", "aria-hidden": "true" }, said.sign), h("strong", {}, said.title)),
        h("div", { class: "bc-said-body" }, said.hazards.map((text) => h("p", { class: "bc-hazard" }, text)), said.lines.map((text) => h("p", {}, text)),
          said.cautions.map((text) => cautionNote(text, words))))),
    story.length ? h("details", { class: "bc-story", open: view.folds.story, ontoggle: (e) => { view.folds.story = e.target.open; } },
      h("summary", { "data-k": "fold.story" }, words.story),
      h("ol", { reversed: true, start: story.length, "data-scroll": "story", tabindex: "0", "aria-label": words.story }, story.map((e) => h("li", { class: `bc-told-${e.tone}` }, h("span", { class: "bc-when" }, clockText(e.s)), h("strong", {}, e.title), ` ${e.text}`)))) : null,
  ];
}

// Its words stand beside it among what was seen; below it only when they do not.
function lookBox(picture, lines) {
  return h("figure", { class: "bc-look" }, drawn(picture.svg), lines.includes(picture.alt) ? null : h("figcaption", {}, picture.alt));
}

function trayBox(view) {
  const { model, words } = view;
  const tray = model.get("tray");
  return [
    h("h3", { tabindex: "-1", "data-home": "1" }, words.instruments),
    h("div", { class: "bc-scroll", "data-scroll": "tray", tabindex: "0", role: "group", "aria-label": words.instruments },
      wrongBox(view),
      tray.length ? h("ul", { class: "bc-readings", "aria-label": words.readings }, tray.map((r) => h("li", { class: r.steady ? "" : "bc-unsteady" },
        h("span", { class: "bc-figure" }, r.text), h("span", { class: "bc-from" }, h("strong", {}, r.title), ` · ${r.place}`, h("br", {}), h("span", { class: "bc-when" }, clockText(r.s)), r.note ? ` · ${r.note}` : ""),
        r.written || r.writes.length ? writeBox(view, r) : null))) : h("p", { class: "bc-hint" }, words.no_readings)),
  ];
}

// A reading that could not be written down.
function wrongBox({ model, words }) {
  const problem = model.get("problem");
  return problem?.action === "record" ? h("p", { class: "bc-wrong", role: "alert" }, `${words.refused} ${problem.text}`) : null;
}

// Writing a reading on the job sheet: which line, then one press.
function writeBox(view, reading) {
  const { words, draft, ask } = view;
  const key = `write.${reading.number}`;
  if (reading.written) return h("span", { class: "bc-written" }, h("span", { "aria-hidden": "true" }, "✓ "), reading.written);
  return h("form", { class: "bc-write", onsubmit: (e) => { e.preventDefault(); ask({ name: "record" }, { reading: reading.number, line: draft.get(key, reading.writes[0].value) }, "write"); } },
    reading.writes.length > 1 ? h("select", { "aria-label": `${words.line_for} ${reading.title} ${reading.text}`, "data-k": key, onchange: (e) => draft.set(key, e.target.value) },
      reading.writes.map((w) => h("option", { value: w.value, selected: w.value === draft.get(key, reading.writes[0].value) }, w.label))) : null,
    h("button", { type: "submit", class: "bc-small", "data-k": `${key}.go`, "aria-label": `${words.write_down}: ${reading.title} ${reading.text}` }, words.write_down));
}

function sheetBox(view) {
  const { model, words, folds } = view;
  const { rows } = model.get("sheet");
  const filled = rows.filter((r) => r.as_found || r.as_left);
  const empty = rows.filter((r) => !r.as_found && !r.as_left);
  return [
    h("h3", { tabindex: "-1", "data-home": "1" }, words.sheet),
    h("div", { class: "bc-scroll", "data-scroll": "sheet", tabindex: "0", role: "group", "aria-label": words.sheet },
      filled.length ? h("table", { class: "bc-rows" }, h("thead", {}, h("tr", {}, h("th", { scope: "col" }, words.line), h("th", { scope: "col" }, words.as_found), h("th", { scope: "col" }, words.as_left))),
        h("tbody", {}, filled.map((r) => h("tr", {}, h("th", { scope: "row" }, r.title), h("td", {}, r.as_found || "–"), h("td", {}, r.as_left || "–")))))
        : h("p", { class: "bc-hint" }, words.nothing_written),
      empty.length ? h("details", { class: "bc-not", open: folds.empty, ontoggle: (e) => { folds.empty = e.target.open; } }, h("summary", { "data-k": "fold.empty" }, `${words.empty_lines} (${empty.length})`),
        h("ul", { class: "bc-plain" }, empty.map((r) => h("li", {}, r.title)))) : null),
  ];
}

// A chart beside the marks, or in its place the reason why there is none.
function chartBox(chart, i, words, folds) {
  return h("section", {}, chart.svg ? plotBox(chart, `chart.${i}`, words, folds) : h("h4", {}, chart.title), chart.said.map((text) => h("p", { class: "bc-hint" }, text)));
}

function verdictBox(view) {
  const { model, words, folds } = view;
  const mark = model.get("verdict");
  if (!mark) return [];
  const row = (r) => h("li", { class: `bc-mark-${r.tone}` }, h("span", { class: "bc-points" }, r.points),
    h("div", {}, h("strong", {}, h("span", { "aria-hidden": "true" }, `${r.sign} `), r.title), r.text ? h("p", {}, r.text) : null,
      r.more.map(([head, text]) => h("p", { class: "bc-advice" }, h("span", { class: "bc-advice-head" }, `${head}: `), text))));
  const group = (title, rows) => (rows.length ? h("section", {}, title ? h("h4", {}, title) : null, h("ul", { class: "bc-marks" }, rows.map(row))) : null);
  const fold = (name, title, ...inside) => h("details", { class: "bc-kept", open: folds[name], ontoggle: (e) => { folds[name] = e.target.open; } }, h("summary", { "data-k": `fold.${name}` }, title), inside);
  return [h("h3", { tabindex: "-1", "data-home": "1" }, words.marks),
    h("p", { class: `bc-total bc-mark-${mark.tone}`, role: "status" }, h("span", { "aria-hidden": "true" }, `${mark.sign} `), mark.total),
    mark.changed.map((text) => h("p", { class: "bc-hint" }, text)),
    group(words.critical, mark.critical),
    h("ul", { class: "bc-blocks", "aria-label": words.blocks }, mark.blocks.map((b) => h("li", { class: b.short ? "bc-short" : "" }, h("span", {}, b.title), h("strong", {}, b.short ? `✕ ${b.points}, ${b.least}` : b.points)))),
    group(words.to_work_on, mark.lost),
    mark.kept.length ? fold("kept", `${words.done_well} (${mark.kept.length})`, group("", mark.kept)) : null,
    mark.plot ? fold("plot", words.plot, h("div", { class: "bc-plot", "data-scroll": "plot", tabindex: "0", role: "group", "aria-label": words.plot }, drawn(mark.plot.svg)),
      h("details", { class: "bc-told-plot" }, h("summary", { "data-k": "fold.plot.text" }, words.plot_words), mark.plot.text.split("\n").map((text) => h("p", {}, text)))) : null,
    mark.charts ? fold("charts", mark.charts.title, h("div", { class: "bc-charts" }, mark.charts.list.map((chart, i) => chartBox(chart, i, words, folds)))) : null];
}

function render({ model, el }) {
  const draft = drafts();
  const opened = new Set(["read"]); // the form used most stands open
  const area = (name, tag = "section") => h(tag, { class: `bc-area bc-${name}`, "data-area": name });
  const areas = Object.fromEntries(["head", "verdict", "scene", "place", "told", "tray", "strip", "sheet"].map((n) => [n, area(n)]));
  const silent = h("p", { class: "bc-silent", role: "alert", hidden: true });
  const root = h("div", { class: "bc bc-visit", role: "region" }, h("div", { class: "bc-grid" }, silent, Object.values(areas)));
  const speak = () => {
    const words = model.get("words");
    silent.textContent = words.silent;
    root.setAttribute("aria-label", nthName(model, words.screen));
    root.setAttribute("lang", words.lang);
  };
  const stripBox = () => [h("h3", { tabindex: "-1", "data-home": "1" }, model.get("curve").title), curveBox(model.get("curve"), model.get("words"), clock.now())];
  const drawStrip = () => fill([areas.strip, stripBox()]);
  const clock = runningClock(model, (now, moving) => {
    const face = areas.head.querySelector("[data-live=clock]");
    if (face) face.textContent = clockText(now);
    const skip = areas.head.querySelector("[data-live=skip]");
    if (skip) skip.hidden = !moving;
    root.classList.toggle("bc-passing", moving);
    if (moving) drawStrip(); else plan(["strip"]);
  });
  const link = line(model, { onBusy: (busy) => { root.classList.toggle("bc-busy", busy); root.setAttribute("aria-busy", String(busy)); }, onSilent: (quiet) => { silent.hidden = !quiet; } });
  const ask = (action, args, what = "step") => {
    if (clock.moving()) clock.finish();
    if (what === "units") forgetNumbers(); // a number typed in one unit must not be read in another
    link.ask({ do: what, action: action?.name, args });
  };
  function forgetNumbers() {
    const typed = new Set(model.get("offers").flatMap((a) => a.fields.filter((f) => f.kind === "number").map((f) => `${a.name}.${f.name}`)));
    draft.drop((key) => typed.has(key));
  }
  const view = { model, get words() { return model.get("words"); }, draft, clock, ask, folds: { order: false, story: false, not: false, again: false, kept: false, plot: true, charts: true, empty: false },
    tools: () => ({ draft, words: model.get("words"), problem: model.get("problem"), opened, ask, redraw: redrawOffers }) };
  const pick = (part) => link.ask({ do: "select", part });
  const boxes = { head: headBox, verdict: verdictBox, scene: () => [siteBox(model.get("site"), model.get("words"), pick)], place: placeBox, told: saidBox, tray: trayBox, sheet: sheetBox, strip: stripBox };
  const draw = (...names) => fill(...names.map((name) => [areas[name], boxes[name](view)]));
  view.draw = draw;
  function redrawOffers() { draw("place"); }
  const watch = {
    card: ["head"], waiting: ["head"], offers: ["place"], said: ["told"], story: ["told"], tray: ["tray"], sheet: ["sheet"], curve: ["strip"],
    problem: ["head", "place", "tray", "told"], site: ["scene", "place"], verdict: ["verdict"], done: ["place"],
  };
  const dirty = new Set();
  const flush = () => {
    const names = [...dirty];
    dirty.clear();
    areas.verdict.hidden = !model.get("verdict");
    draw(...names);
  };
  const plan = (names) => {
    if (!dirty.size) queueMicrotask(flush);
    names.forEach((n) => dirty.add(n));
  };
  const off = [];
  const on = (name, fn) => { model.on(`change:${name}`, fn); off.push([`change:${name}`, fn]); };
  on("done", () => { const done = model.get("done"); draft.drop((key) => key.startsWith(`${done.action}.`) && !done.keep.includes(key)); });
  for (const [name, names] of Object.entries(watch)) on(name, () => plan(names));
  on("words", () => { speak(); plan(Object.keys(boxes)); });
  on("clock", clock.start);
  // What went wrong must be seen at once, also by someone who has scrolled down to the job sheet.
  on("said", () => { if (model.get("said").tone !== "plain") queueMicrotask(() => areas.told.scrollIntoView({ block: "nearest" })); });
  on("verdict", () => queueMicrotask(() => areas.verdict.querySelector("[data-home]")?.focus()));
  speak();
  plan(Object.keys(boxes));
  const unguard = guardKeys(root);
  el.append(root);
  return () => { unguard(); off.forEach(([name, fn]) => model.off(name, fn)); link.close(); clock.stop(); };
}

export default { render };
