// Bundles the page's script and style and writes them as a C++ source.
// Arguments: node_modules, the .cpp to write.
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import path from 'node:path';
import { fileURLToPath } from 'node:url';

const [modules, output] = process.argv.slice(2);
const web = path.dirname(fileURLToPath(import.meta.url));
const esbuild = createRequire(path.join(path.resolve(modules), 'x'))('esbuild');

const common = {
  bundle: true,
  minify: true,
  write: false,
  nodePaths: [path.resolve(modules)],
  legalComments: 'none',
  charset: 'utf8',
  target: ['chrome100', 'firefox113', 'safari16.4'],
  logLevel: 'warning',
};
const script = esbuild.buildSync({
  ...common, entryPoints: [path.join(web, 'main.js')], format: 'iife',
}).outputFiles[0].text.trim();
const style = esbuild.buildSync({
  ...common, entryPoints: [path.join(web, 'page.css')],
}).outputFiles[0].text.trim();
if (/<\/(script|style)/i.test(script + style)) throw new Error('the bundle would end its element');

const escaped = (text) => text.replaceAll('&', '&amp;').replaceAll('<', '&lt;');
const licences = [['three', 'three.js'], ['fflate', 'fflate']].map(([folder, name]) => {
  const { version } = JSON.parse(readFileSync(path.join(modules, folder, 'package.json'), 'utf8'));
  return `${name} ${version}\n\n${escaped(readFileSync(path.join(modules, folder, 'LICENSE'), 'utf8').trim())}\n`;
}).join('\n');

// Adjacent raw strings of a size that every compiler takes.
function literal(text) {
  const mark = 'roomloom';
  if (text.includes(`)${mark}"`)) throw new Error('the bundle holds the end of a raw string');
  const pieces = text.match(/[^]{1,8000}/gu) ?? [''];
  return pieces.map((piece) => `R"${mark}(${piece})${mark}"`).join('\n');
}
const source = `// Made by build.mjs from src/page/web.
#include "page/assets.h"

namespace roomloom::page {

std::string_view page_script() {
  static constexpr char text[] = ${literal(script)};
  return {text, sizeof text - 1};
}

std::string_view page_style() {
  static constexpr char text[] = ${literal(style)};
  return {text, sizeof text - 1};
}

std::string_view page_licences() {
  static constexpr char text[] = ${literal(licences)};
  return {text, sizeof text - 1};
}

}  // namespace roomloom::page
`;
mkdirSync(path.dirname(output), { recursive: true });
writeFileSync(output, source);
