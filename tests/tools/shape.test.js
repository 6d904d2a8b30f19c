/** Rules about the scripts themselves. */
import assert from 'node:assert/strict';
import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, posix } from 'node:path';
import { test } from 'node:test';
import { fileURLToPath } from 'node:url';

const ROOT = join(dirname(fileURLToPath(import.meta.url)), '../../static');
const LAYERS = ['lib', 'work', 'outbox', 'pack', 'ui', 'pages'];

/** The engine's own scripts. @returns {string[]} */
function scripts() {
  return ['boot.js', ...LAYERS.flatMap(within)];
}

/** @param {string} folder @returns {string[]} */
function within(folder) {
  return readdirSync(join(ROOT, 'js', folder), { withFileTypes: true }).flatMap((entry) => {
    const path = posix.join(folder, entry.name);
    if (entry.isDirectory()) return within(path);
    return entry.name.endsWith('.js') ? [path] : [];
  });
}

const read = (/** @type {string} */ path) => readFileSync(join(ROOT, 'js', path), 'utf8');

test('the vendored library is the published one, unchanged, with its licence beside it', () => {
  const from = (/** @type {string} */ path) =>
    readFileSync(join(dirname(ROOT), 'tests/tools/node_modules/idb', path));
  assert.deepEqual(readFileSync(join(ROOT, 'js/vendor/idb.js')), from('build/index.js'));
  assert.deepEqual(readFileSync(join(ROOT, 'js/vendor/idb-LICENSE.txt')), from('LICENSE'));
});

for (const path of scripts()) {
  test(`${path} is type-checked, and imports only from its own layer and below`, () => {
    const text = read(path);
    assert.ok(text.startsWith('// @ts-check\n'), 'says @ts-check');
    const layer = LAYERS.indexOf(path.split('/')[0]);
    // Types are erased: only what is loaded counts.
    for (const [, target] of text.matchAll(/^(?:import|export) [^;]*?from '([^']+)'/gm)) {
      const at = posix.join(dirname(path), target).split('/')[0];
      if (layer < 0 || at === 'vendor') continue;
      assert.ok(LAYERS.indexOf(at) <= layer, `${path} imports ${target}`);
    }
  });
}

test('only db.js opens the store, only http.js, the makers of the copy and the worker fetch', () => {
  const which = (/** @type {RegExp} */ what) => scripts().filter((path) => what.test(read(path)));
  assert.deepEqual(which(/\bopenDB\(|indexedDB\.open/), ['lib/db.js']);
  assert.deepEqual(which(/\bfetch\(/).sort(), ['lib/http.js', 'pack/pages.js', 'pack/take.js']);
});

test('no script writes markup from text or runs text', () => {
  const bad = /\.innerHTML|\.outerHTML|insertAdjacentHTML|document\.write|\beval\(|new Function/;
  assert.deepEqual(
    scripts().filter((path) => bad.test(read(path))),
    [],
  );
});

test('the engine stays small: at most 125 kB without comments, the vendored library and the pages', () => {
  const engine = scripts().filter((path) => !path.startsWith('pages/'));
  const code = engine.map((path) => read(path).replace(/\/\*[\s\S]*?\*\/|^\s*\/\/.*$/gm, ''));
  const bytes = code.reduce((sum, text) => sum + text.length, 0);
  assert.ok(bytes <= 125_000, `${bytes} bytes`);
});
