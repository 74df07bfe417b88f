// Writes the public-domain bunny mesh of npm's "bunny" as an OBJ file.
// Usage: node bunny.cjs FILE
const { writeFileSync } = require('node:fs');
const bunny = require('bunny');
const lines = bunny.positions.map((p) => `v ${10 * p[0]} ${-10 * p[2]} ${10 * p[1]}`)
  .concat(bunny.cells.map((c) => `f ${c.map((i) => i + 1).join(' ')}`));
writeFileSync(process.argv[2], lines.join('\n') + '\n');
