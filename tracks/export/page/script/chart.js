/** The chart of the log: minutes a day as bars, the best clean tempo as dots on a line. */
import { svg } from "./draw.js";

const WIDE = 22;
const TALL = 90;
const BASE = 108;

/**
 * @param {{ date: string, minutes: number, bpm: number | null }[]} days
 * @returns {SVGElement}
 */
export function chartOf(days) {
  const most = Math.max(10, ...days.map((day) => day.minutes));
  const tempos = days.flatMap((day) => day.bpm ?? []);
  const [slow, fast] = [Math.min(...tempos) - 10, Math.max(...tempos) + 10];
  const chart = svg("svg", { viewBox: `0 0 ${days.length * WIDE + 4} ${BASE + 20}`, class: "chart", "aria-hidden": "true" });
  /** @type {string[]} */
  const line = [];
  days.forEach((day, place) => {
    const x = place * WIDE + 4;
    const tall = (day.minutes / most) * TALL;
    chart.append(svg("rect", { x, y: BASE - tall, width: WIDE - 6, height: tall, class: "minutes" }));
    chart.append(svg("text", { x: x + (WIDE - 6) / 2, y: BASE + 14, "text-anchor": "middle" }, String(Number(day.date.slice(8)))));
    if (day.bpm === null) return;
    const y = BASE - 10 - ((day.bpm - slow) / (fast - slow)) * (TALL - 10);
    line.push(`${x + (WIDE - 6) / 2} ${y}`);
    chart.append(svg("circle", { cx: x + (WIDE - 6) / 2, cy: y, r: 3.5, class: "best" }));
    chart.append(svg("text", { x: x + (WIDE - 6) / 2, y: y - 7, "text-anchor": "middle", class: "tempo" }, String(day.bpm)));
  });
  if (line.length > 1) chart.append(svg("path", { d: `M${line.join("L")}`, class: "line" }));
  chart.append(svg("path", { d: `M0 ${BASE}H${days.length * WIDE + 4}`, class: "base" }));
  return chart;
}
