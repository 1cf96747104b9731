// The start page: what to practise next, the lessons with how far one has come, a hand on what is kept.

function lessonItem(row) {
  return h("li", { class: `bc-lesson bc-lesson-${row.tone}` },
    h("span", { class: "bc-state" }, h("span", { class: "bc-sign", "aria-hidden": "true" }, row.sign), row.state),
    h("div", {}, h("a", { href: row.href, "data-k": `lesson.${row.name}` }, h("span", { class: "bc-number" }, row.number), row.title),
      h("p", { class: "bc-facts" }, row.facts.map((text) => h("span", {}, text)))));
}

function adviceItem(row, words) {
  const own = row.links.length === 1 && row.links[0].title === row.title;
  return h("li", { class: `bc-advice bc-advice-${row.tone}` },
    h("span", { class: "bc-sign", "aria-hidden": "true" }, row.sign),
    h("div", {}, h("p", { class: "bc-kind" }, row.head),
      own ? practiceLink(row.links[0], row) : h("strong", {}, row.title),
      h("p", {}, row.reason),
      row.rows.length ? h("ul", { class: "bc-lost" }, row.rows.map((one) => h("li", {}, h("span", {}, one.title), h("b", {}, one.points)))) : null,
      own || !row.links.length ? null : h("p", { class: "bc-links" }, `${words.practise_in}: `, row.links.map((link) => practiceLink(link, row)))));
}

const practiceLink = (link, row) => h("a", { href: link.href, "data-k": `advice.${row.head}.${row.title}.${link.number}` }, h("span", { class: "bc-number" }, link.number), link.title);

function keepBox(view) {
  const { words, told, ask, folds } = view;
  const sure = folds.erase ? h("div", { class: "bc-erase", role: "group", "aria-label": words.erase },
    h("p", {}, words.erase_text),
    h("label", { class: "bc-tick" }, h("input", { type: "checkbox", "data-k": "erase.work", checked: folds.work, onchange: (e) => { folds.work = e.target.checked; } }), h("span", {}, words.erase_work)),
    h("div", { class: "bc-buttons" },
      h("button", { type: "button", "data-k": "erase.not", onclick: () => { folds.erase = false; view.draw(); } }, words.erase_not),
      h("button", { type: "button", class: "bc-sure", "data-k": "erase.sure", onclick: () => { folds.erase = false; ask({ do: "erase", sure: true, work: folds.work }); folds.work = false; view.draw(); } }, words.erase_sure))) : null;
  return h("section", { class: "bc-kept", "aria-label": words.kept }, h("h4", {}, words.kept), h("p", { class: "bc-hint" }, words.kept_text),
    h("div", { class: "bc-buttons" },
      h("button", { type: "button", "data-k": "update", onclick: () => ask({ do: "update" }) }, words.update),
      h("button", { type: "button", "data-k": "export", onclick: () => ask({ do: "export" }) }, words.export),
      h("button", { type: "button", "data-k": "erase", "aria-expanded": String(folds.erase), onclick: () => { folds.erase = !folds.erase; folds.work = false; view.draw(); } }, words.erase)),
    sure, h("div", { role: "status", "aria-live": "polite" }, told ? h("p", { class: `bc-told bc-told-${told.tone}` }, told.text) : null));
}

// In JupyterLab a lesson opens beside this page when a link names its path there; the page's own
// address tells where this page lies. Anywhere else the plain link is followed.
function openBeside(event) {
  const link = event.target.closest?.("a[href]");
  const here = /\/tree\/(.+)$/.exec(window.location.pathname);
  if (!link || !here || !document.querySelector(".jp-LabShell")) return;
  const parts = decodeURIComponent(here[1]).split("/").slice(0, -1);
  for (const part of link.getAttribute("href").split("/")) part === ".." ? parts.pop() : parts.push(part);
  link.setAttribute("data-commandlinker-command", "rendermime:handle-local-link");
  link.setAttribute("data-commandlinker-args", JSON.stringify({ path: parts.join("/"), id: "" }));
}

function renderCourse({ model, el }) {
  const draft = drafts();
  const folds = { erase: false, work: false, others: false };
  const box = h("div", { class: "bc-course-body" });
  const silent = h("p", { class: "bc-silent", role: "alert", hidden: true });
  const root = h("section", { class: "bc bc-course" }, silent, box);
  const link = line(model, { onBusy: (busy) => { root.classList.toggle("bc-busy", busy); root.setAttribute("aria-busy", String(busy)); }, onSilent: (quiet) => { silent.hidden = !quiet; } });
  const draw = () => {
    const words = model.get("words");
    silent.textContent = words.silent;
    root.setAttribute("aria-label", words.title);
    root.setAttribute("lang", words.lang);
    const view = { words, folds, draw, told: model.get("told"), ask: link.ask };
    const advice = model.get("advice");
    const others = model.get("others");
    fill([box, [
      h("div", { class: "bc-course-head" }, h("h3", { tabindex: "-1", "data-home": "1" }, words.title),
        switchBox(words.language, "language", model.get("languages"), draft, (to) => link.ask({ do: "language", to }))),
      words.review ? h("p", { class: "bc-hint" }, words.review) : null,
      h("fieldset", { class: "bc-field bc-way" }, h("legend", {}, words.path), h("div", { class: "bc-options" }, model.get("paths").map((one) => h("label", { class: "bc-tick" },
        h("input", { type: "radio", name: `path-${draft.uid}`, "data-k": `path.${one.value}`, value: one.value, checked: one.now, onchange: () => link.ask({ do: "path", to: one.value }) }), h("span", {}, one.label))))),
      h("div", { class: "bc-columns" },
        h("section", { class: "bc-next", "aria-label": words.next }, h("h4", {}, words.next),
          advice.length ? h("ol", {}, advice.map((row) => adviceItem(row, words))) : h("p", {}, words.nothing)),
        h("section", { class: "bc-way-lessons", "aria-label": words.lessons }, h("h4", {}, words.lessons, h("span", { class: "bc-count" }, model.get("done"))),
          h("ol", {}, model.get("lessons").map(lessonItem)),
          others.length ? h("details", { open: folds.others, ontoggle: (e) => { folds.others = e.target.open; } }, h("summary", { "data-k": "others" }, words.others), h("ol", {}, others.map(lessonItem))) : null),
        keepBox(view))]]);
  };
  const unfollow = follow(model, ["words", "paths", "lessons", "others", "done", "advice", "languages", "told"], draw);
  draw();
  const unguard = guardKeys(root);
  root.addEventListener("click", openBeside, true);
  let away = false; // come back from a lesson: show what has been done there
  const watch = new IntersectionObserver(([seen]) => {
    if (seen.isIntersecting && away) link.ask({ do: "look" });
    away = !seen.isIntersecting;
  });
  watch.observe(root);
  el.append(root);
  return () => { unguard(); watch.disconnect(); unfollow(); link.close(); };
}

export default { render: renderCourse };
