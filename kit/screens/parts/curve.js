// The split over time, drawn like a strip of chart paper and made to be read at arm's length.

const CURVE = { width: 350, height: 240, left: 34, right: 10, top: 24, bottom: 36 };

function curveBox(curve, words, now) {
  const { width, height, left, right, top, bottom } = CURVE;
  const x = (minute) => left + ((width - left - right) * (minute - curve.x_min)) / (curve.x_max - curve.x_min);
  const y = (value) => height - bottom - ((height - top - bottom) * (value - curve.y_min)) / (curve.y_max - curve.y_min);
  const seen = (points) => points.filter(([minute]) => minute <= now / 60 + 1e-6 && minute >= curve.x_min);
  const parts = [
    rect(left, top, width - left - right, height - top - bottom, "bc-chart"),
    curve.y_ticks.map((value) => [s("line", { x1: left, x2: width - right, y1: y(value), y2: y(value), class: "bc-ruling" }),
      s("text", { x: left - 6, y: y(value) + 4.5, "text-anchor": "end", class: "bc-axis" }, String(value))]),
    curve.x_ticks.map((value) => [s("line", { x1: x(value), x2: x(value), y1: top, y2: height - bottom, class: "bc-ruling" }),
      s("text", { x: x(value), y: height - bottom + 16, "text-anchor": "middle", class: "bc-axis" }, String(value))]),
    s("text", { x: width - right, y: height - 4, "text-anchor": "end", class: "bc-axis" }, curve.x_label),
    s("text", { x: 4, y: 14, class: "bc-axis bc-strong" }, curve.y_label),
  ];
  if (curve.band) {
    const high = y(Math.min(curve.band.high, curve.y_max));
    const low = y(Math.max(curve.band.low, curve.y_min));
    parts.push(rect(left, high, width - left - right, Math.max(0, low - high), "bc-band"),
      s("line", { x1: left, x2: width - right, y1: high, y2: high, class: "bc-band-edge" }), s("line", { x1: left, x2: width - right, y1: low, y2: low, class: "bc-band-edge" }),
      s("text", { x: left + 6, y: Math.min(low - 5, height - bottom - 5), class: "bc-axis bc-strong" }, curve.band.label));
  }
  if (curve.found) {
    parts.push(s("line", { x1: left, x2: width - right, y1: y(curve.found.value), y2: y(curve.found.value), class: "bc-found" }),
      s("text", { x: width - right - 6, y: y(curve.found.value) + (curve.found.above ? -6 : 16), "text-anchor": "end", class: "bc-axis" }, curve.found.label));
  }
  for (const piece of curve.pieces) {
    const points = seen(piece);
    if (points.length > 1) parts.push(path(`M${points.map(([m, v]) => `${x(m).toFixed(1)} ${y(v).toFixed(1)}`).join(" L")}`, "bc-trace"));
  }
  const marks = seen(curve.points);
  marks.forEach(([minute, value, text], i) => {
    parts.push(path(`M${x(minute)} ${y(value) - 6} l6 6 l-6 6 l-6 -6 Z`, "bc-mark"));
    if (i === marks.length - 1) parts.push(s("text", { x: Math.min(x(minute) - 6, width - 44), y: y(value) - 10, class: "bc-axis bc-strong" }, text));
  });
  return h("figure", { class: "bc-curve" },
    s("svg", { viewBox: `0 0 ${width} ${height}`, role: "img", "aria-label": curve.alt }, parts.flat(3)),
    h("figcaption", { class: "bc-hint" }, curve.note));
}
