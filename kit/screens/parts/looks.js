// A closer look at one thing, drawn from how bad it is: 0 is clean, 4 is the worst.

function lookBox(picture) {
  const grade = picture.grade;
  const draw = LOOKS[picture.subject] ?? LOOKS.other;
  return h("figure", { class: "bc-look" }, s("svg", { viewBox: "0 0 120 72", role: "img", "aria-label": picture.alt }, rect(0, 0, 120, 72, "bc-look-back"), draw(grade)),
    h("figcaption", {}, picture.alt));
}

// Specks are set by a fixed rule, so that the same grade always looks the same.
function specks(count, x, y, width, height, cls) {
  return range(count).map((i) => s("circle", { cx: x + ((i * 37) % 101) / 101 * width, cy: y + ((i * 61) % 97) / 97 * height, r: 1.4 + (i % 3), class: cls }));
}

const LOOKS = {
  coil_face: (grade) => [range(28).map((i) => path(`M${6 + i * 4} 6 V66`, "bc-fin")), range(4).map((i) => path(`M2 ${14 + i * 15} H118`, "bc-tube")), specks(grade * 34, 4, 4, 112, 64, "bc-dust"),
    grade > 2 ? rect(0, 8, 120, 22, "bc-felt") : null],
  wheel_blades: (grade) => [range(10).map((i) => [path(`M${10 + i * 11} 64 q-10 -28 6 -54`, "bc-bladeline"), grade ? path(`M${10 + i * 11} 60 q-9 -24 5 -46 q${1 + grade * 1.6} 20 -5 46 Z`, "bc-felt") : null])],
  filter: (grade) => [range(15).map((i) => path(`M${i * 8} 0 V72`, "bc-thin")), range(9).map((i) => path(`M0 ${i * 8} H120`, "bc-thin")), specks(grade * 40, 0, 0, 120, 72, "bc-dust"), grade > 2 ? rect(10, 6, 100, 60, "bc-felt") : null],
  drain: (grade) => [path("M8 20 H112 V34 Q112 40 104 40 H70 V70 H56 V40 H16 Q8 40 8 34 Z", "bc-hollow"), grade < 4 ? path("M63 42 v26", "bc-waterline") : path("M10 24 H110 V33 Q110 38 104 38 H16 Q10 38 10 33 Z", "bc-water"), grade ? path(`M57 44 h12 v${4 + grade * 5} h-12 Z`, "bc-felt") : null],
  board: (grade) => [rect(10, 8, 100, 56, "bc-green"), path("M20 18 h22 v14 h-22 Z M56 16 h10 v10 h-10 Z M76 16 h24 v18 h-24 Z M20 44 h50 M20 52 h34 M82 42 v14 M92 42 v14", "bc-thin"), grade ? s("ellipse", { cx: 84, cy: 28, rx: 6 + grade * 4, ry: 4 + grade * 2.5, class: "bc-burn" }) : null],
  outdoor_coil: (grade) => [range(40).map((i) => path(`M${4 + i * 3} 2 V70`, "bc-fin")), path("M0 22 H120 M0 48 H120", "bc-line"), specks(grade * 30, 2, 2, 116, 68, "bc-dust"), range(Math.max(0, grade - 1)).map((i) => path(`M${14 + i * 34} ${20 + i * 12} q14 -12 22 4 q-12 10 -22 -4 Z`, "bc-leaf")), grade > 3 ? rect(0, 0, 120, 72, "bc-felt") : null],
  pan: (grade) => [path("M6 22 L14 58 H106 L114 22", "bc-line"), grade < 3 ? path("M16 56 H104", "bc-waterline") : path("M12 38 L16 57 H104 L108 38 Z", "bc-water"), grade ? path(`M${58 - grade * 12} 57 q${grade * 6} -${6 + grade * 4} ${grade * 12} -2 q${grade * 5} -${4 + grade * 3} ${grade * 12} 2 Z`, "bc-felt") : null, s("circle", { cx: 60, cy: 60, r: 4, class: "bc-dot" })],
  other: (grade) => [range(grade).map((i) => path(`M10 ${60 - i * 12} H${110 - i * 8}`, "bc-line"))],
};
