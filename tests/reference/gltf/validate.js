// Checks .glb files with the Khronos glTF validator and prints what it finds, one line a kind of issue.
// Exits 1 on any error or warning, 3 if the validator isn't installed (`npm ci` here installs it).
'use strict';

const fs = require('fs');

const SEVERITIES = ['error', 'warning', 'info', 'hint'];

function load() {
    try {
        return require('gltf-validator');
    } catch (missing) {
        console.error(`no gltf-validator: ${missing.code}`);
        process.exit(3);
    }
}

function kinds(messages) {
    const found = new Map();
    for (const { severity, code, message, pointer } of messages) {
        const kind = found.get(code) || { severity, code, count: 0, first: `${pointer}: ${message}` };
        kind.count += 1;
        found.set(code, kind);
    }
    return [...found.values()];
}

async function main(files) {
    const validator = load();
    let broken = files.length === 0;
    for (const file of files) {
        const report = await validator.validateBytes(new Uint8Array(fs.readFileSync(file)), { format: 'glb', maxIssues: 0 });
        const { numErrors, numWarnings, numInfos, numHints, messages } = report.issues;
        console.log(`${file}: ${numErrors} errors, ${numWarnings} warnings, ${numInfos} infos, ${numHints} hints`);
        for (const { severity, code, count, first } of kinds(messages)) {
            console.log(`  ${SEVERITIES[severity]} ${code} (${count}), first at ${first}`);
        }
        broken = broken || numErrors + numWarnings > 0;
    }
    process.exitCode = broken ? 1 : 0;
}

main(process.argv.slice(2)).catch((failure) => {
    console.error(failure);
    process.exitCode = 1;
});
