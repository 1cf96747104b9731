// Small helpers that every screen uses. The parts are joined into one ES module by kit/screens/source.py.

const SVG_NS = "http://www.w3.org/2000/svg";

function put(node, props, children) {
  for (const [name, value] of Object.entries(props ?? {})) {
    if (value === null || value === undefined || value === false) continue;
    if (name.startsWith("on")) node.addEventListener(name.slice(2), value);
    else if (name === "value") node.value = value;
    else if (name === "checked") node.checked = Boolean(value);
    else node.setAttribute(name, value === true ? "" : value);
  }
  node.append(...children.flat(3).filter((child) => child !== null && child !== undefined));
  return node;
}

const h = (tag, props, ...children) => put(document.createElement(tag), props, children);
const s = (tag, props, ...children) => put(document.createElementNS(SVG_NS, tag), props, children);

// Replace what boxes hold without losing the place of a keyboard user: the control with the same
// data-k gets the focus back; when it is gone, the nearest heading of the box gets it. All places
// are read before anything is written, so that the page is laid out once and not once a box.
function fill(...pairs) {
  const before = pairs.map(([box]) => placeIn(box));
  for (const [box, nodes] of pairs) box.replaceChildren(...nodes.flat(3).filter(Boolean));
  pairs.forEach(([box], i) => putBack(box, before[i]));
}

function placeIn(box) {
  const active = box.contains(document.activeElement) ? document.activeElement : null;
  const lists = [...box.querySelectorAll("[data-scroll]")].filter((list) => list.scrollTop > 0);
  return {
    active,
    key: active?.dataset?.k,
    caret: active && "selectionStart" in active ? active.selectionStart : null,
    scrolled: lists.map((list) => [list.dataset.scroll, list.scrollTop]),
  };
}

function putBack(box, { active, key, caret, scrolled }) {
  for (const [name, top] of scrolled) {
    const again = box.querySelector(`[data-scroll="${name}"]`);
    if (again) again.scrollTop = top;
  }
  if (!active) return;
  const next = key ? box.querySelector(`[data-k="${CSS.escape(key)}"]`) : null;
  const target = next && !next.disabled ? next : box.querySelector("[data-home]");
  target?.focus({ preventScroll: true });
  if (target === next && caret !== null && next?.type === "text") next.setSelectionRange(caret, caret);
}

// A choice that is always open: one press, and everything speaks otherwise.
function switchBox(legend, name, options, draft, pick) {
  return h("fieldset", { class: `bc-units bc-${name}` }, h("legend", { class: "bc-away" }, legend), options.map((o) => h("label", { class: "bc-tick", lang: o.lang, title: o.name },
    h("input", { type: "radio", name: `${name}-${draft.uid}`, "data-k": `${name}.${o.value}`, value: o.value, checked: o.now, "aria-label": o.name, onchange: () => pick(o.value) }), h("span", {}, o.label))));
}

// The name of a screen; a page may have more than one of a kind.
const nthName = (model, name) => (model.get("nth") > 1 ? `${name} ${model.get("nth")}` : name);

const clockText = (seconds) => {
  const whole = Math.max(0, Math.round(seconds));
  const two = (n) => String(n).padStart(2, "0");
  const hours = Math.floor(whole / 3600);
  return `${hours}:${two(Math.floor(whole / 60) % 60)}:${two(whole % 60)}`;
};

// Draw again when one of these has changed; returns what puts an end to it.
function follow(model, names, draw) {
  const plan = () => queueMicrotask(draw);
  names.forEach((name) => model.on(`change:${name}`, plan));
  return () => names.forEach((name) => model.off(`change:${name}`, plan));
}

// The same for a screen of several parts: each is drawn once, however many of its traits changed.
function followParts(model, draws) {
  const due = new Set();
  const all = () => { const list = [...due]; due.clear(); list.forEach((draw) => draw()); };
  const off = Object.entries(draws).map(([name, some]) => {
    const later = () => { if (!due.size) queueMicrotask(all); some.forEach((draw) => due.add(draw)); };
    model.on(`change:${name}`, later);
    return () => model.off(`change:${name}`, later);
  });
  return () => off.forEach((end) => end());
}

const calm = () => window.matchMedia("(prefers-reduced-motion: reduce)").matches;

// A notebook acts on single keys: an arrow moves to another cell, a letter changes or deletes one.
// Keys pressed inside a screen are for the screen; only Escape and combined keys go on to the page.
function guardKeys(root) {
  const guard = (event) => {
    if (!root.contains(event.target) || event.key === "Escape" || event.ctrlKey || event.metaKey || event.altKey) return;
    event.stopPropagation(); // what the control itself does with the key still happens
  };
  window.addEventListener("keydown", guard, true);
  return () => window.removeEventListener("keydown", guard, true);
}

// One link between a view and its model in Python: sends a request, knows when it was answered, and
// says so when nobody answers (a kernel that was stopped).
function line(model, { onBusy, onSilent }) {
  let sent = model.get("answered");
  let timer = null;
  const settle = () => {
    if (model.get("answered") < sent) return;
    clearTimeout(timer);
    onBusy(false);
    onSilent(false);
  };
  model.on("change:answered", settle);
  return {
    busy: () => model.get("answered") < sent,
    ask(request) {
      if (model.get("answered") < sent) return;
      sent = model.get("answered") + 1;
      onBusy(true);
      timer = setTimeout(() => onSilent(true), 12000);
      model.send({ ...request, sent });
    },
    close() {
      clearTimeout(timer);
      model.off("change:answered", settle);
    },
  };
}
