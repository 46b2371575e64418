// node validate_gltf.mjs MODULES FOLDER: asks Khronos' validator about every GLB below FOLDER.
//
// A file of our own must have no error and no warning. A routed.glb beside a room.glb is that
// original and ours: the validator may say nothing of it that it does not say of the original.
// Exit status 77 when the validator is not installed.
import fs from 'node:fs';
import path from 'node:path';
import process from 'node:process';

const [modules, folder] = process.argv.slice(2);
const entry = path.join(modules, 'gltf-validator', 'index.js');
if (!fs.existsSync(entry)) {
  console.log(`skipped: no gltf-validator in ${modules} (scripts/test installs it)`);
  process.exit(77);
}
const validator = (await import(entry)).default;

function glbFilesBelow(place) {
  return fs.readdirSync(place, { withFileTypes: true, recursive: true })
    .filter((found) => found.isFile() && found.name.endsWith('.glb'))
    .map((found) => path.join(found.parentPath ?? found.path, found.name))
    .sort();
}

async function issuesOf(file) {
  const bytes = new Uint8Array(fs.readFileSync(file));
  return (await validator.validateBytes(bytes, { maxIssues: 0 })).issues;
}

/** How often each kind of message occurs, whatever its severity. */
function counts(issues) {
  const result = new Map();
  for (const { code } of issues.messages) result.set(code, (result.get(code) ?? 0) + 1);
  return result;
}

function newMessages(after, before) {
  const known = counts(before);
  return [...counts(after)].filter(([code, count]) => count > (known.get(code) ?? 0))
    .map(([code, count]) => `${code} ${count} times, ${known.get(code) ?? 0} in the original`);
}

let failures = 0;
const files = glbFilesBelow(folder);
for (const file of files) {
  if (path.basename(file) === 'room.glb') continue;
  const issues = await issuesOf(file);
  const original = path.join(path.dirname(file), 'room.glb');
  const appended = path.basename(file) === 'routed.glb' && fs.existsSync(original);
  const faults = appended
    ? newMessages(issues, await issuesOf(original))
    : issues.messages.filter(({ severity }) => severity <= 1)
      .map(({ code, message, pointer }) => `${code} ${pointer}: ${message}`);
  for (const fault of faults) console.log(`${file}: ${fault}`);
  failures += faults.length;
}
console.log(`${files.length} files, ${failures} faults`);
process.exit(failures === 0 && files.length > 0 ? 0 : 1);
