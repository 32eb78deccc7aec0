// Lays graphs out with elkjs: layered, orthogonal, fixed ports. Reads a JSON list of graphs from
// standard input, writes a JSON list of {edge: [[x, y], ...]} to standard output.
// The first argument is the folder in which elkjs is installed.
import { createRequire } from "node:module";
import { readFileSync, writeSync } from "node:fs";
import { join } from "node:path";

const require = createRequire(join(process.argv[2], "package.json"));
const ELK = require("elkjs");
const elk = new ELK();

function prepared(graph) {
  for (const node of graph.children) {
    node.layoutOptions = { "elk.portConstraints": "FIXED_POS" };
    for (const port of node.ports) {
      port.width = port.height = 0;
      port.layoutOptions = { "elk.port.side": port.side };
      delete port.side;
    }
  }
  graph.layoutOptions = {
    "elk.algorithm": "layered",
    "elk.direction": "RIGHT",
    "elk.edgeRouting": "ORTHOGONAL",
    "elk.layered.thoroughness": "7",
    "elk.randomSeed": "1",
  };
  return graph;
}

function points(section) {
  return [section.startPoint, ...(section.bendPoints ?? []), section.endPoint].map((p) => [p.x, p.y]);
}

const graphs = JSON.parse(readFileSync(0, "utf8"));
const laid = [];
for (const graph of graphs) {
  const done = await elk.layout(prepared(graph));
  laid.push(Object.fromEntries(done.edges.map((edge) => [edge.id, edge.sections.flatMap(points)])));
}
const text = JSON.stringify(laid);
let at = 0;
const bytes = Buffer.from(text);
while (at < bytes.length) at += writeSync(1, bytes, at);
