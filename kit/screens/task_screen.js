// A task of a lesson: what is asked, fields, one button, a spoken answer.

const TASK_SIGNS = { right: "✓", wrong: "✕", plain: "▸" };

function figures(table, label) {
  if (!table.length) return null;
  const [head, ...rows] = table;
  return h("div", { class: "bc-table-strip", "data-scroll": `table ${label}`, tabindex: "0", role: "group", "aria-label": label }, h("table", { class: "bc-figures" }, h("thead", {}, h("tr", {}, head.map((t) => (t ? h("th", { scope: "col" }, t) : h("td"))))),
    h("tbody", {}, rows.map(([name, ...cells]) => h("tr", {}, h("th", { scope: "row" }, name), cells.map((c) => h("td", { class: /^[-+–]?\d/.test(c) ? "" : "bc-worded" }, c)))))));
}

function renderTask({ model, el }) {
  const draft = drafts();
  const box = h("div", { class: "bc-task-body" });
  const silent = h("p", { class: "bc-silent", role: "alert", hidden: true });
  const root = h("section", { class: "bc bc-task", "aria-label": model.get("task").title, "data-task": model.get("task").name }, silent, box);
  const folds = {};
  const plots = (list, key, words) => (list ?? []).map((plot, i) => plotBox({ ...plot, label: model.get("task").title }, `${key}.${i}`, words, folds));
  const link = line(model, { onBusy: (busy) => root.setAttribute("aria-busy", String(busy)), onSilent: (quiet) => { silent.hidden = !quiet; } });
  const draw = () => {
    const words = model.get("words");
    const task = model.get("task");
    silent.textContent = words.silent;
    const name = nthName(model, task.title);
    root.setAttribute("aria-label", name);
    root.setAttribute("lang", words.lang);
    const reply = model.get("reply");
    const action = { ...task, fields: task.fields.map((f) => ({ ...f, default: (task.given ?? {})[f.name] ?? f.default })) };
    const problem = model.get("problem");
    fill([box, [
      h("div", { class: "bc-task-head" }, h("h3", { tabindex: "-1", "data-home": "1" }, task.title),
        task.units.length ? switchBox(words.units, "units", task.units, draft, (to) => { draft.drop(() => true); link.ask({ do: "units", to }); }) : null,
        switchBox(words.language, "language", task.languages, draft, (to) => link.ask({ do: "language", to }))),
      task.review ? h("p", { class: "bc-hint" }, task.review) : null,
      task.ask.map((text) => h("p", { class: "bc-ask" }, text)), figures(task.table, task.title), plots(task.plots, "ask", words),
      h("form", { class: "bc-form bc-task-form", "aria-label": name, onsubmit: (e) => { e.preventDefault(); link.ask({ do: "answer", args: collect(action, draft) }); } },
        action.fields.map((f) => fieldBox(action, f, draft, words, problem, draw)),
        task.closed ? null : h("button", { type: "submit", class: "bc-go", "data-k": "go" }, task.button)),
      problem && !task.fields.some((f) => f.name === problem.field) ? h("p", { class: "bc-wrong", role: "alert" }, `${words.refused} ${problem.text}`) : null,
      h("div", { role: "status", "aria-live": "polite" }, reply ? h("div", { class: `bc-reply bc-reply-${reply.tone}` },
        h("span", { class: "bc-sign", "aria-hidden": "true" }, TASK_SIGNS[reply.tone]), h("div", {}, h("strong", {}, reply.head), reply.lines.map((text) => h("p", {}, text)), figures(reply.table, reply.head))) : null),
      plots(reply?.plots, "reply", words)]]);
    for (const input of task.closed ? box.querySelectorAll("form input, form select") : []) input.disabled = true;
  };
  const unfollow = follow(model, ["task", "reply", "problem", "words"], draw);
  draw();
  const unguard = guardKeys(root);
  el.append(root);
  return () => { unguard(); unfollow(); link.close(); };
}

export default { render: renderTask };
