// The drawn site: a room on the left, the outside on the right, the wall between them cut open.
// Everything it shows comes as plain flags from the model; nothing is worked out here.

const SITE_WIDTH = 640;
const SITE_HEIGHT = 340;

// Where each part can be reached: left, top, width, height on the drawing, and where its name goes.
const SPOTS = {
  room: [26, 42, 104, 88, "inside"],
  customer: [14, 172, 72, 128, "below"],
  instruments: [117, 244, 96, 56, "below"],
  job_sheet: [256, 234, 56, 66, "below"],
  remote: [128, 142, 52, 70, "above"],
  indoor: [196, 30, 190, 92, "above"],
  line_set: [426, 180, 76, 66, "wrap"],
  disconnect: [438, 96, 64, 78, "above"],
  drain: [424, 250, 50, 50, "below"],
  outdoor: [504, 186, 128, 114, "below"],
};

const rect = (x, y, width, height, cls, more) => s("rect", { x, y, width, height, class: cls, ...more });
const path = (d, cls, more) => s("path", { d, class: cls, ...more });
const lines = (cls, ...points) => points.map(([x1, y1, x2, y2]) => s("line", { x1, y1, x2, y2, class: cls }));
const range = (n) => [...Array(n).keys()];

function drawHouse() {
  return [
    rect(0, 0, 404, 300, "bc-wall"), rect(424, 0, 216, 300, "bc-sky"),
    path("M424 216 Q470 200 520 212 T640 204 V300 H424 Z", "bc-hill"),
    rect(0, 300, 404, 40, "bc-floor"), rect(424, 300, 216, 40, "bc-ground"),
    rect(404, 0, 20, 340, "bc-brick"),
    ...range(17).map((i) => path(`M404 ${i * 20} H424 M${i % 2 ? 410 : 417} ${i * 20} V${i * 20 + 20}`, "bc-joint")),
    path("M0 292 H404", "bc-skirting"),
    rect(30, 48, 96, 76, "bc-window"), path("M78 48 V124 M30 86 H126", "bc-thin"),
  ];
}

function drawCustomer() {
  return s("g", { transform: "translate(-8 0)" }, s("circle", { cx: 58, cy: 192, r: 15, class: "bc-face" }),
    path("M36 300 V240 Q36 214 58 214 Q80 214 80 240 V300 H66 V262 H50 V300 Z", "bc-solid"));
}

function drawTools() {
  return s("g", { transform: "translate(14 0)" }, path("M134 264 Q134 254 144 254 H158 Q168 254 168 264", "bc-line"),
    path("M110 264 H192 L188 300 H114 Z", "bc-bag"), path("M110 276 H192", "bc-thin"),
    path("M122 264 V246 M122 246 L119 240 M178 264 L182 248", "bc-line"), rect(144, 270, 14, 10, "bc-plate"));
}

function drawSheet(site) {
  const rows = Math.min(6, Math.ceil(site.sheet_lines / 2));
  return s("g", { transform: "translate(54 0)" }, rect(208, 244, 44, 56, "bc-board"), rect(212, 250, 36, 46, "bc-paper"), rect(222, 240, 16, 8, "bc-plate"),
    range(rows).map((i) => path(`M216 ${258 + i * 6} H${i % 2 ? 238 : 244}`, "bc-ink")));
}

function drawRemote(site) {
  return s("g", {}, rect(136, 148, 36, 60, "bc-device", { rx: 6 }), rect(141, 154, 26, 18, site.mode === "off" ? "bc-screen" : "bc-screen bc-lit", { rx: 2 }),
    s("text", { x: 154, y: 167, class: "bc-tiny", "text-anchor": "middle" }, site.remote_text),
    ...[0, 1, 2].flatMap((i) => [0, 1].map((j) => s("circle", { cx: 147 + j * 14, cy: 181 + i * 9, r: 2.6, class: "bc-dot" }))));
}

function drawWheel(turning) {
  const blades = range(26).map((i) => path(`M${206 + i * 7} 88 q4 8 0 16`, "bc-thin"));
  return s("g", {}, rect(202, 86, 176, 20, "bc-hollow", { rx: 9 }), s("g", { class: turning ? "bc-roll" : "" }, blades),
    s("circle", { cx: 204, cy: 96, r: 4, class: "bc-dot" }), s("circle", { cx: 376, cy: 96, r: 4, class: "bc-dot" }));
}

function drawIndoor(site) {
  const inside = site.front_off;
  const coil = inside ? range(44).map((i) => path(`M${208 + i * 4} 50 V${site.casing_off ? 82 : 90}`, "bc-fin")) : [];
  const mesh = inside && !site.filter_off ? [rect(204, 48, 178, 36, "bc-mesh"), ...range(14).map((i) => path(`M${214 + i * 12} 48 V84`, "bc-thin")), path("M204 60 H382 M204 72 H382", "bc-thin")] : [];
  return s("g", {},
    rect(196, 42, 190, 66, "bc-unit", { rx: 8 }), coil, mesh,
    site.casing_off ? drawWheel(site.blowing) : null,
    inside ? path("M196 42 L206 24 H376 L386 42 Z", "bc-unit") : path("M202 88 H380", "bc-thin"),
    site.casing_off ? null : rect(206, 97, 170, 7, "bc-slot", { rx: 3 }),
    site.blowing && !site.casing_off ? path("M206 104 L198 112 H368 L376 104", "bc-line") : null,
    rect(352, 90, 22, 6, site.lamp ? "bc-screen bc-lit" : "bc-screen", { rx: 2 }),
    site.ice ? path("M206 84 l8 -14 l8 14 l9 -18 l8 18 l10 -12 l7 12 l9 -16 l8 16 Z", "bc-ice") : null,
    site.blowing ? ["M226 116 q-12 26 -34 38", "M276 116 q-6 30 -26 50", "M326 116 q0 32 -16 56"].map((d) => path(d, "bc-air")) : null);
}

function drawWater(site) {
  return s("g", {}, ...[230, 292, 340].map((x, i) => path(`M${x} ${124 + i * 14} q-5 9 0 12 q5 -3 0 -12 Z`, "bc-water bc-fall")),
    path("M262 306 q38 -12 84 0 q8 8 -20 10 h-44 q-30 -2 -20 -10 Z", "bc-water"));
}

function drawProtection(site) {
  const on = (name) => site.protected.includes(name);
  return s("g", {},
    on("drop_cloth") ? path("M264 300 L396 300 L402 326 L252 326 Z", "bc-cloth") : null,
    on("wash_bag") ? [path("M200 106 H382 L312 176 H276 Z", "bc-bagfilm"), path("M294 176 Q296 220 330 250", "bc-hose"), path("M318 252 h34 l-5 46 h-24 Z", "bc-bucket")] : null,
    on("indoor_electrics") ? path("M346 44 h36 v60 h-36 Z", "bc-bagfilm") : null,
    on("outdoor_electrics") ? path("M592 194 h34 v50 h-34 Z", "bc-bagfilm") : null);
}

function drawFilterOut() {
  return s("g", { transform: "rotate(-14 366 270)" }, rect(340, 246, 50, 52, "bc-mesh"), ...range(5).map((i) => path(`M${348 + i * 8} 246 V298`, "bc-thin")));
}

function drawPipes(site) {
  return s("g", {}, path("M386 84 H430 V262 H488", "bc-pipe bc-gas"), path("M386 84 H430 V262 H488", "bc-core"),
    path("M386 104 H444 Q450 104 450 112 V286", "bc-drain"), path("M446 286 h8 v6 h-8 Z", "bc-drain-end"),
    ...[252, 272].map((y) => s("g", {}, path(`M488 ${y} h16`, "bc-cable"), rect(489, y - 5, 9, 10, "bc-brass bc-line"), path(`M493 ${y - 5} v-5 m-4 0 h8`, "bc-thin"))));
}

function drawDisconnect(site) {
  return s("g", {}, path("M470 172 V214 Q470 226 504 226", "bc-cable"), rect(446, 108, 46, 64, "bc-device", { rx: 4 }),
    site.pulled
      ? [rect(455, 118, 28, 26, "bc-slot"), path("M462 124 v14 M476 124 v14", "bc-thin"), path("M500 134 h26 v20 h-26 Z M506 134 v-8 h14 v8", "bc-handle")]
      : [rect(455, 118, 28, 26, "bc-handle", { rx: 2 }), path("M461 126 h16 v9 h-16 Z", "bc-line")],
    site.locked ? [path("M463 156 v-6 q0 -7 7 -7 q7 0 7 7 v6", "bc-shackle"), rect(459, 155, 22, 17, "bc-lock", { rx: 2 })] : null,
    site.tagged ? [path("M481 164 L500 172", "bc-thin"), path("M496 168 l20 6 l-8 26 l-20 -6 Z", "bc-tag"), path("M497 180 l12 4 M495 187 l12 4", "bc-ink")] : null);
}

function drawOutdoor(site) {
  const blade = (turn) => path("M552 246 q6 -22 22 -24 q-2 18 -22 24 Z", "bc-blade", { transform: `rotate(${turn} 552 246)` });
  const open = site.panels_off;
  return s("g", {}, rect(500, 294, 18, 8, "bc-foot"), rect(612, 294, 18, 8, "bc-foot"),
    rect(504, 190, 124, 106, "bc-unit", { rx: 5 }), s("circle", { cx: 552, cy: 246, r: 38, class: "bc-grille" }),
    s("g", { class: site.outdoor_fan_turning ? "bc-spin" : "" }, [0, 120, 240].map(blade)), s("circle", { cx: 552, cy: 246, r: 5, class: "bc-dot" }),
    ...[14, 24, 34].map((r) => s("circle", { cx: 552, cy: 246, r, class: "bc-guard" })),
    path("M596 190 V296", "bc-thin"),
    open ? [path("M504 190 L514 176 H638 L628 190 Z", "bc-unit"), rect(600, 196, 24, 38, "bc-green"), path("M604 202 h8 v6 h-8 Z M615 204 h6 M615 210 h6 M604 214 h16 M604 222 h10", "bc-thin"),
      rect(601, 246, 22, 46, "bc-shell", { rx: 9 })]
      : path("M602 204 h18 M602 210 h18 M602 216 h18", "bc-thin"),
    site.terminals_open || open ? null : rect(600, 252, 24, 26, "bc-device", { rx: 2 }),
    site.terminals_open && !open ? [rect(600, 252, 24, 26, "bc-slot"), ...[0, 1, 2].map((i) => s("circle", { cx: 606 + i * 6, cy: 265, r: 2, class: "bc-brass" }))] : null,
    site.gauges_on ? [path("M493 276 q-4 40 24 42", "bc-hose"), rect(516, 304, 44, 26, "bc-device", { rx: 4 }), s("circle", { cx: 528, cy: 317, r: 8, class: "bc-grille" }), s("circle", { cx: 548, cy: 317, r: 8, class: "bc-grille" }), path("M528 317 l4 -4 M548 317 l-3 -5", "bc-thin")] : null);
}

function drawProbes(site) {
  const at = { return_grille: [226, 36], return_wall: [300, 14], room_centre: [110, 214], supply: [292, 112], supply_left: [214, 112], supply_right: [366, 112],
    supply_in_front: [262, 176], supply_touching: [330, 106], supply_deep: [310, 100], outdoor_intake: [634, 200], outdoor_sun: [634, 270], gas_line: [492, 258], small_line: [480, 266] };
  return site.probes.filter((p) => at[p.place]).map((p) => {
    const [x, y] = at[p.place];
    return s("g", {}, path(`M${x} ${y} Q${x - 30} ${y + 90} 167 262`, "bc-wire"), s("circle", { cx: x, cy: y, r: 4.5, class: "bc-probe" }));
  });
}

function drawSite(site) {
  return s("svg", { viewBox: `0 0 ${SITE_WIDTH} ${SITE_HEIGHT}`, class: "bc-drawing", "aria-hidden": "true", focusable: "false" },
    drawHouse(), drawPipes(site), drawCustomer(), drawRemote(site), drawIndoor(site), drawProtection(site),
    site.filter_off ? drawFilterOut() : null, site.water ? drawWater(site) : null, drawTools(), drawSheet(site),
    drawDisconnect(site), drawOutdoor(site), drawProbes(site));
}

function siteBox(site, words, pick) {
  const percent = (n, all) => `${((100 * n) / all).toFixed(2)}%`;
  const spots = site.parts.filter((part) => SPOTS[part.name]).map((part) => {
    const [x, y, width, height, label] = SPOTS[part.name];
    const style = `left:${percent(x, SITE_WIDTH)};top:${percent(y, SITE_HEIGHT)};width:${percent(width, SITE_WIDTH)};height:${percent(height, SITE_HEIGHT)}`;
    return h("button", { type: "button", class: `bc-spot bc-name-${label}`, style, "data-k": `spot.${part.name}`, "data-part": part.name,
      "aria-pressed": String(part.selected), onclick: () => pick(part.name) },
      h("span", { class: "bc-name" }, part.selected ? h("span", { "aria-hidden": "true" }, "▸ ") : null, part.label),
      part.state ? h("span", { class: "bc-away" }, `: ${part.state}`) : null);
  });
  return h("div", { class: "bc-site" }, h("div", { class: "bc-stage", role: "group", "aria-label": words.site }, drawSite(site), spots),
    h("p", { class: "bc-flags" }, site.flags.map((flag) => h("span", { class: `bc-flag bc-flag-${flag.tone}` }, flag.text))));
}
