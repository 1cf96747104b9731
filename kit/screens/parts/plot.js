// Drawings that come from Python as SVG text, with their words.

// What comes drawn, with its words inside, is read as a picture and never as a page.
function drawn(svg) {
  return document.importNode(new DOMParser().parseFromString(svg, "image/svg+xml").documentElement, true);
}

// A chart in a strip that scrolls where the page is too narrow for words of a readable size.
function plotBox(plot, key, words, folds) {
  const picture = drawn(plot.svg);
  picture.setAttribute("role", "img");
  picture.setAttribute("aria-label", plot.alt);
  return h("figure", { class: "bc-figure-box" },
    plot.title ? h("figcaption", { class: "bc-figure-title" }, plot.title) : null,
    h("div", { class: "bc-figure-strip", "data-scroll": key, tabindex: "0", role: "group", "aria-label": plot.title || plot.label }, picture),
    h("details", { class: "bc-figure-words", open: Boolean(folds[key]), ontoggle: (e) => { folds[key] = e.target.open; } },
      h("summary", { "data-k": `fold.${key}` }, words.plot_words), h("p", {}, plot.alt)));
}
