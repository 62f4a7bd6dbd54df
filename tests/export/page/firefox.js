/**
 * The page's core in Firefox: it opens, draws, steps, and waits for a keyboard of our own.
 *
 * Run as: node firefox.js FIREFOX PAGE; prints what it found as JSON.
 */
import { readFileSync } from "node:fs";
import puppeteer from "puppeteer-core";

const [firefox, address] = process.argv.slice(2);
const browser = await puppeteer.launch({ browser: "firefox", executablePath: firefox, headless: true });
const page = await browser.newPage();
const faults = [];
page.on("pageerror", (fault) => faults.push(fault.message));
await page.evaluateOnNewDocument(readFileSync(new URL("stage.js", import.meta.url), "utf8"));
await page.goto(address);
await page.waitForSelector("html[data-ready=yes]");
const text = (selector) => page.$eval(selector, (one) => one.textContent.trim());
const found = { rows: (await page.$$("#score svg")).length };
await page.click("#chord-after");
found.second = await text("#symbol");
found.lit = (await page.$$("#score g.lit")).length;
await page.click("#open");
await page.select("#mode", "wait");
await page.waitForFunction(() => document.getElementById("midi").textContent.includes("Meadow"));
await page.click("#close");
await page.click("#play");
found.waited = [];
for (let chord = 0; chord < 5; chord++) {
  found.waited.push(await text("#symbol"));
  await page.evaluate(() => {
    const keys = [...document.querySelectorAll("#keyboard .right, #keyboard .left")].filter((one) => one.dataset.midi);
    const midi = keys.map((key) => Number(key.dataset.midi));
    window.stage.keys(midi);
    window.stage.keys(midi, false);
  });
}
found.report = await text("#report");
found.sound = await page.evaluate(async () => {
  const context = new OfflineAudioContext(1, 48000, 48000);
  const source = context.createBufferSource();
  const buffer = new AudioBuffer({ length: 12000, numberOfChannels: 1, sampleRate: 24000 });
  buffer.copyToChannel(new Float32Array(12000).fill(0.5), 0);
  source.buffer = buffer;
  source.connect(context.destination);
  source.start(0.25);
  const wave = (await context.startRendering()).getChannelData(0);
  const heard = (sample) => sample > 0.025;
  return { onset: wave.findIndex(heard) / 48000, end: wave.findLastIndex(heard) / 48000 };
});
await browser.close();
console.log(JSON.stringify({ ...found, faults }));
