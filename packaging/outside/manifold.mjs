// Compares what outside_test.go wrote with manifold-3d (npm), a general library
// for solids: volumes, areas of sections, volumes of both sides of cuts.
// Usage: node manifold.mjs FOLDER
import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import Module from 'manifold-3d';

const wasm = await Module();
wasm.setup();
const { Manifold, Mesh } = wasm;

function solid(file) {
  const { vertices, facets } = JSON.parse(readFileSync(file));
  const mesh = new Mesh({ numProp: 3, vertProperties: Float32Array.from(vertices), triVerts: Uint32Array.from(facets) });
  mesh.merge();
  return new Manifold(mesh);
}

let passed = 0, failed = 0;
function check(name, have, want, within) {
  const off = Math.abs(have - want) / Math.max(Math.abs(want), 1e-9);
  if (off <= within) { passed++; return; }
  failed++;
  console.error(`${name}: ${have}, manifold-3d says ${want}: ${(100 * off).toFixed(4)} % apart, ${100 * within} allowed`);
}

const dir = process.argv[2];
for (const file of readdirSync(dir).filter((f) => f.endsWith('.case.json')).sort()) {
  const c = JSON.parse(readFileSync(join(dir, file)));
  const body = solid(join(dir, c.solid));
  check(`${c.name}: volume`, c.volume, body.volume(), 1e-5);
  const greatest = Math.max(...c.sections.map((s) => s.area), 1e-9);
  for (const s of c.sections) {
    // A sliver near a top is measured against the part's own size.
    const want = body.slice(s.height).area();
    check(`${c.name}: section at ${s.height.toFixed(3)}`, s.area + greatest * 1e-3, want + greatest * 1e-3, 0.005);
  }
  for (const k of c.cuts) {
    const [over, under] = body.splitByPlane(k.normal, k.offset);
    const whole = Math.abs(body.volume());
    check(`${c.name}: over a cut`, k.over + whole, over.volume() + whole, 1e-5);
    check(`${c.name}: under a cut`, k.under + whole, under.volume() + whole, 1e-5);
  }
}
console.log(`${passed} passed, ${failed} failed`);
process.exit(failed > 0 || passed === 0 ? 1 : 0);
