/** Opens what the page carries: the program is deflated, and runs because the page's policy knows its hash. */
const old = document.getElementById("old");
if (typeof DecompressionStream === "undefined") {
  if (old) old.hidden = false;
} else {
  const packed = atob(document.getElementById("program")?.textContent ?? "");
  const bytes = Uint8Array.from(packed, (sign) => sign.charCodeAt(0));
  const program = document.createElement("script");
  program.type = "module";
  program.textContent = await new Response(new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate"))).text();
  document.body.append(program);
}
export {};
